"""The vehicles app as Django knows it."""

from django.apps import AppConfig


class VehiclesConfig(AppConfig):
    """One app with one migrations folder; its rooms hold the models."""

    name = "vehicles"
