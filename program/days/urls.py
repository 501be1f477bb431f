"""Addresses of the days."""

from django.urls import path

from program.days import views

app_name = "days"

urlpatterns = [
    path("", views.week, name="week"),
    path("anew/", views.replan_ask, name="replan_ask"),
    path("anew/<int:pk>/stop/", views.replan_stop, name="replan_stop"),
    path("proposal/", views.proposal, name="proposal"),
    path("proposal/<int:pk>/accept/", views.proposal_accept, name="proposal_accept"),
    path("proposal/<int:pk>/keep/", views.proposal_keep, name="proposal_keep"),
    path("trouble/", views.trouble_list, name="trouble_list"),
    path("trouble/<slug:kind>/", views.trouble_tell, name="trouble_tell"),
    path("trouble/<int:pk>/back/", views.trouble_take_back, name="trouble_take_back"),
    path("calendars/", views.calendar_list, name="calendar_list"),
    path("calendars/<int:pk>/end/", views.calendar_end, name="calendar_end"),
    path("calendar/<str:token>.ics", views.calendar_feed, name="calendar_feed"),
]
