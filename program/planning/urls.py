"""Addresses of the week."""

from django.urls import path

from program.planning import library, questions, views

app_name = "planning"

urlpatterns = [
    path("", views.week, name="week"),
    path("compute/", views.plan_ask, name="plan_ask"),
    path("<int:number>/approve/", views.plan_approve, name="plan_approve"),
    path("<int:number>/cancel/", questions.plan_cancel, name="plan_cancel"),
    path("<int:number>/stop/", questions.search_end, name="search_end"),
    path("<int:number>/case/<slug:case>/", questions.case_why, name="case_why"),
    path("<int:number>/home/", library.home_list, name="home_list"),
    path("<int:number>/waiting/", library.waiting_list, name="waiting_list"),
    path("<int:number>/try/", questions.try_out, name="try_out"),
    path("<int:number>/try/<int:pk>/", questions.what_if, name="what_if"),
    path("plans/", library.plan_list, name="plan_list"),
    path("plans/<int:number>/", library.plan_page, name="plan_page"),
    path("<int:number>.pdf", views.week_pdf, name="week_pdf"),
    path("pin/<slug:number>/", views.case_pin, name="case_pin"),
    path("unpin/<slug:number>/", views.case_unpin, name="case_unpin"),
]
