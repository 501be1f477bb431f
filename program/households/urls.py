"""The small pages about a household."""

from django.urls import path

from program.households import views

app_name = "households"
urlpatterns = [
    path("<int:pk>/contact/", views.safe_contact, name="safe_contact"),
    path("<int:pk>/stage/", views.move_stage, name="move_stage"),
    path("<int:pk>/tie/", views.declare_tie, name="declare_tie"),
]
