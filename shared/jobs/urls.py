"""Background jobs."""

from django.urls import path

from shared.jobs import views

app_name = "jobs"
urlpatterns = [
    path("", views.job_list, name="job_list"),
    path("<int:pk>/stop/", views.stop, name="stop"),
    path("<int:pk>/retry/", views.retry, name="retry"),
]
