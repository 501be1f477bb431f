"""The wheel torques of a stay. `vehicles.urls` puts the pages of the shop into `shop`."""

from django.urls import path

from vehicles.wheels import views

app_name = "wheels"
urlpatterns = [
    path("<int:pk>/torque/", views.torque_page, name="torque_page"),
    path("<int:pk>/torque/<int:torque>/void/", views.void_torque, name="void_torque"),
]
