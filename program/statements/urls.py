"""Addresses of the statements."""

from django.urls import path

from program.statements import views

app_name = "statements"

urlpatterns = [
    path("", views.page, name="page"),
]
