"""A sponsor's own pages, each by private link or by sign-in, and the page that stops mail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import path

from sponsors.portal import views

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

app_name = "portal"

PAGES: tuple[tuple[str, Callable[..., HttpResponse]], ...] = (
    ("", views.need_list),
    ("needs/<int:pk>/", views.pledge_add),
    ("pledges/", views.pledge_list),
    ("pledges/<int:pk>/take-back/", views.pledge_take_back),
    ("settings/", views.preferences),
    ("settings/mail/", views.mail),
)

# Sign-in first: a token is longer than any of these names.
urlpatterns = [
    path("stop/<str:token>/", views.stop_mail, name="stop_mail"),
    *(path(route, view, name=view.__name__) for route, view in PAGES),
    *(path(f"<str:token>/{route}", view, name=view.__name__) for route, view in PAGES),
]
