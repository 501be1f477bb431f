"""What is done to bays, spaces and equipment. `vehicles.urls` adds the pages that show them."""

from django.urls import path

from vehicles.shop import views

urlpatterns = [
    path("bays/add/", views.bay_add, name="bay_add"),
    path("bays/<int:pk>/edit/", views.bay_edit, name="bay_edit"),
    path("bays/<int:pk>/days/", views.bay_close_days, name="bay_close_days"),
    path("bays/<int:pk>/close/", views.bay_close, name="bay_close"),
    path("bays/<int:pk>/reopen/", views.bay_reopen, name="bay_reopen"),
    path("days/<int:pk>/take-back/", views.closure_take_back, name="closure_take_back"),
    path("spaces/add/", views.space_add, name="space_add"),
    path("spaces/<int:pk>/close/", views.space_close, name="space_close"),
    path("spaces/<int:pk>/reopen/", views.space_reopen, name="space_reopen"),
    path("equipment/add/", views.equipment_add, name="equipment_add"),
    path("equipment/<int:pk>/edit/", views.equipment_edit, name="equipment_edit"),
    path("equipment/<int:pk>/inspected/", views.equipment_inspect, name="equipment_inspect"),
    path("equipment/<int:pk>/tag-out/", views.equipment_tag_out, name="equipment_tag_out"),
    path("equipment/<int:pk>/tag/", views.equipment_tag, name="equipment_tag"),
    path("equipment/<int:pk>/back/", views.equipment_back, name="equipment_back"),
    path("equipment/<int:pk>/retire/", views.equipment_retire, name="equipment_retire"),
]
