"""The household's page. Its address says nothing but that there is a car."""

from django.urls import path

from program.status import views

app_name = "status"
urlpatterns = [
    path("<str:token>/", views.page, name="page"),
]
