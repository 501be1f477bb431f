"""Pledges, as the coordinator sees them."""

from django.urls import path

from sponsors.pledges import views

app_name = "pledges"
urlpatterns = [
    path("", views.pledge_list, name="pledge_list"),
    path("new/<int:pk>/", views.pledge_new, name="pledge_new"),
    path("<int:pk>/end/", views.pledge_end, name="pledge_end"),
]
