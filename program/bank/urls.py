"""Addresses of the bank statements."""

from django.urls import URLPattern

app_name = "bank"

urlpatterns: list[URLPattern] = []
