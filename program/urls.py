"""Every address of the site, by room."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("accounts/", include("shared.accounts.urls")),
    path("jobs/", include("shared.jobs.urls")),
    path("mail/", include("shared.outbox.urls")),
]
