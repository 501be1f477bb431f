"""The sponsors app as Django knows it."""

from django.apps import AppConfig


class SponsorsConfig(AppConfig):
    """One app with one migrations folder; its rooms hold the models."""

    name = "sponsors"
