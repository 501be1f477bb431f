"""The shared app as Django knows it."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class SharedConfig(AppConfig):
    """One app with one migrations folder; its rooms hold the models."""

    name = "shared"

    def ready(self) -> None:
        from shared.audit.triggers import lift, put_back  # noqa: PLC0415 (models load before this)

        pre_migrate.connect(lift, dispatch_uid="triggers-that-follow")
        post_migrate.connect(put_back, dispatch_uid="append-only-triggers")
