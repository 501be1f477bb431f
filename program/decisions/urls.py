"""What was authorized for a car, and the supplements to it."""

from django.urls import path

from program.decisions import views

app_name = "decisions"
urlpatterns = [
    path("", views.supplement_list, name="supplement_list"),
    path("stay/<int:pk>/", views.stay_decisions, name="stay_decisions"),
    path("<slug:number>/", views.case_decisions, name="case_decisions"),
    path("<slug:number>/authorize/", views.authorize, name="authorize"),
    path("<slug:number>/end/", views.end_authorization, name="end_authorization"),
    path("<slug:number>/supplement/", views.ask_supplement, name="ask_supplement"),
    path("<slug:number>/supplement/<int:pk>/", views.supplement_page, name="supplement_page"),
    path("<slug:number>/supplement/<int:pk>/owner/", views.answer_owner, name="answer_owner"),
    path("<slug:number>/supplement/<int:pk>/budget/", views.answer_budget, name="answer_budget"),
    path(
        "<slug:number>/supplement/<int:pk>/withdraw/",
        views.withdraw_supplement,
        name="withdraw_supplement",
    ),
    path(
        "<slug:number>/supplement/<int:pk>/paper/", views.supplement_paper, name="supplement_paper"
    ),
]
