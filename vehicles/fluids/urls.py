"""The fluids of a stay."""

from django.urls import path

from vehicles.fluids import views

app_name = "fluids"
one = "<int:pk>/fluids/<slug:fluid>/"
urlpatterns = [
    path("<int:pk>/fluids/", views.fluid_list, name="fluid_list"),
    path(one, views.fluid_page, name="fluid_page"),
    path(f"{one}maker/", views.set_demand, name="set_demand"),
    path(f"{one}readings/", views.record_reading, name="record_reading"),
    path(f"{one}top-ups/", views.pour, name="pour"),
    path(f"{one}readings/<int:reading>/", views.take_back_reading, name="take_back_reading"),
    path(f"{one}top-ups/<int:top_up>/", views.take_back_pour, name="take_back_pour"),
]
