"""Addresses of gifts with a purpose."""

from django.urls import URLPattern

app_name = "gifts"

urlpatterns: list[URLPattern] = []
