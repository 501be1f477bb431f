"""Every address about a car. The page of a car gathers what all rooms know, so the last has it."""

from __future__ import annotations

from django.urls import include, path

from vehicles.custody.views import intake_sheet, new_car, receive_car
from vehicles.intake import urls as intake
from vehicles.repairs import views
from vehicles.shop import urls as shop
from vehicles.wheels.views import equipment_page, shop_page

cars = [
    path("", views.vehicle_list, name="vehicle_list"),
    path("new/", new_car, name="new_car"),
    path("new/arrival/", receive_car, name="receive_car"),
    path("<int:pk>/paper/", intake_sheet, name="intake_sheet"),
    path("new/arrival/<int:vehicle>/", receive_car, name="receive_car"),
    path("<int:pk>/", views.vehicle_page, name="vehicle_page"),
    *intake.urlpatterns,
]

in_the_shop = [
    path("", shop_page, name="shop_page"),
    path("equipment/<int:pk>/", equipment_page, name="equipment_page"),
    *shop.urlpatterns,
]

urlpatterns = [
    path("cars/", include((cars, "intake"))),
    path("cars/", include("vehicles.custody.urls")),
    path("cars/", include("vehicles.inspection.urls")),
    path("cars/", include("vehicles.codes.urls")),
    path("cars/", include("vehicles.fluids.urls")),
    path("cars/", include("vehicles.diagnosis.urls")),
    path("cars/", include("vehicles.repairs.urls")),
    path("cars/", include("vehicles.estimates.urls")),
    path("cars/", include("vehicles.wheels.urls")),
    path("shop/", include((in_the_shop, "shop"))),
]
