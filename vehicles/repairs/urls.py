"""The repair items of a stay."""

from django.urls import path

from vehicles.repairs import views

app_name = "repairs"
urlpatterns = [
    path("<int:pk>/items/", views.item_list, name="item_list"),
    path("<int:pk>/items/add/", views.add_item, name="add_item"),
    path("<int:pk>/items/order/", views.require_first, name="require_first"),
    path("<int:pk>/items/<int:item>/done/", views.mark_done, name="mark_done"),
    path("<int:pk>/estimate/", views.make_estimate, name="make_estimate"),
]
