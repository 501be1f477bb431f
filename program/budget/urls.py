"""Addresses of the budget."""

from django.urls import URLPattern

app_name = "budget"

urlpatterns: list[URLPattern] = []
