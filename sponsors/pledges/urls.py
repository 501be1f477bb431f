"""Pledges, as the coordinator sees them."""

from django.urls import path

from sponsors.pledges import views

app_name = "pledges"
urlpatterns = [
    path("", views.pledge_list, name="pledge_list"),
    path("<int:pk>/end/", views.pledge_end, name="pledge_end"),
]
