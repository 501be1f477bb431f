"""Addresses of the week."""

from django.urls import path

from program.planning import views

app_name = "planning"

urlpatterns = [
    path("", views.week, name="week"),
    path("compute/", views.plan_ask, name="plan_ask"),
    path("<int:number>/approve/", views.plan_approve, name="plan_approve"),
    path("<int:number>.pdf", views.week_pdf, name="week_pdf"),
    path("pin/<slug:number>/", views.case_pin, name="case_pin"),
    path("unpin/<slug:number>/", views.case_unpin, name="case_unpin"),
]
