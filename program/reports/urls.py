"""Addresses of the files of the books."""

from django.urls import path

from program.reports import views

app_name = "reports"

urlpatterns = [
    path("", views.file_list, name="file_list"),
    path("<int:pk>/", views.file, name="file"),
    path("<int:pk>/zip/", views.download, name="download"),
]
