"""Addresses of the papers behind entries."""

from django.urls import path

from program.papers import views

app_name = "papers"

urlpatterns = [
    path("", views.missing_list, name="missing_list"),
    path("entries/<int:pk>/", views.entry_papers, name="entry_papers"),
    path("<int:pk>/", views.paper_file, name="paper_file"),
]
