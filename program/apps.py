"""The program app as Django knows it."""

from django.apps import AppConfig


class ProgramConfig(AppConfig):
    """One app with one migrations folder; its rooms hold the models."""

    name = "program"
