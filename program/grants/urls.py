"""Addresses of restricted gifts, grants and claims."""

from django.urls import URLPattern

app_name = "grants"

urlpatterns: list[URLPattern] = []
