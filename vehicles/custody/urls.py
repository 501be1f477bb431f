"""Where a car stands."""

from django.urls import path

from vehicles.custody import views

app_name = "custody"
urlpatterns = [
    path("<int:pk>/move/", views.move_vehicle, name="move_vehicle"),
]
