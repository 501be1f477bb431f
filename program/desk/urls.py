"""The first page, and the cases."""

from django.urls import path

from program.desk import views

app_name = "desk"
urlpatterns = [
    path("", views.first_page, name="first_page"),
    path("s/<int:pk>/", views.stay_case, name="stay_case"),
    path("cases/", views.case_list, name="case_list"),
    path("cases/<slug:number>/", views.case_page, name="case_page"),
    path("cases/<slug:number>/answer/<int:pk>/", views.case_answer, name="case_answer"),
    path("cases/<slug:number>/link/", views.case_link, name="case_link"),
    path("cases/<slug:number>/link/print/", views.case_print_link, name="case_print_link"),
    path("cases/<slug:number>/link/take-back/", views.case_take_link, name="case_take_link"),
]
