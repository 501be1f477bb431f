"""Addresses of the months, the year and its duties."""

from django.urls import URLPattern

app_name = "closing"

urlpatterns: list[URLPattern] = []
