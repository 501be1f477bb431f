"""Addresses of the months, the year and its duties."""

from django.urls import path

from program.closing import views

app_name = "closing"

MONTH = "<int:year>/<int:number>/"
DUTY = "duties/<int:year>/<slug:code>/"

urlpatterns = [
    path("", views.month_list, name="month_list"),
    path("duties/", views.duties, name="duties"),
    path("duties/<int:year>/", views.duties_file, name="duties_file"),
    path(DUTY, views.duty_record, name="duty_record"),
    path(f"{DUTY}undo/", views.duty_undo, name="duty_undo"),
    path(MONTH, views.month_page, name="month_page"),
    path(f"{MONTH}shut/", views.month_shut, name="month_shut"),
    path(f"{MONTH}open/", views.month_open, name="month_open"),
    path(f"{MONTH}<str:kind>/tick/", views.step_tick, name="step_tick"),
    path(f"{MONTH}<str:kind>/undo/", views.step_undo, name="step_undo"),
]
