"""A car that goes back unrepaired, and its notice."""

from django.urls import path

from program.handback import views

app_name = "handback"
urlpatterns = [
    path("<int:pk>/return/", views.return_car, name="return_car"),
    path("<int:pk>/notice/", views.notice, name="notice"),
]
