"""The addresses of the sponsors rooms."""

from django.urls import include, path

urlpatterns = [
    path("sponsors/", include("sponsors.register.urls")),
    path("pledges/", include("sponsors.pledges.urls")),
    path("matches/", include("sponsors.matching.urls")),
    path("appeals/", include("sponsors.appeals.urls")),
    path("give/", include("sponsors.portal.urls")),
]
