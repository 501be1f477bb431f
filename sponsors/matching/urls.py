"""Matches of units to needs."""

from django.urls import path

from sponsors.matching import views

app_name = "matching"
urlpatterns = [
    path("", views.match_list, name="match_list"),
    path("pledge/<int:pk>/", views.pledge_fits, name="pledge_fits"),
    path("again/", views.match_again, name="match_again"),
    path("<int:pk>/confirm/", views.match_confirm, name="match_confirm"),
    path("<int:pk>/free/", views.match_free, name="match_free"),
]
