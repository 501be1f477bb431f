"""Addresses of the papers behind entries."""

from django.urls import URLPattern

app_name = "papers"

urlpatterns: list[URLPattern] = []
