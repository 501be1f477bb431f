"""Sponsors, as the coordinator sees them."""

from django.urls import path

from sponsors.register import views

app_name = "register"
urlpatterns = [
    path("", views.sponsor_list, name="sponsor_list"),
    path("add/", views.sponsor_add, name="sponsor_add"),
    path("<int:pk>/", views.sponsor_page, name="sponsor_page"),
    path("<int:pk>/edit/", views.sponsor_edit, name="sponsor_edit"),
    path("<int:pk>/open-page/", views.open_page, name="open_page"),
    path("<int:pk>/close-page/", views.close_page, name="close_page"),
]
