"""The repair items of a stay."""

from django.urls import path

from vehicles.repairs import views

app_name = "repairs"
urlpatterns = [
    path("<int:pk>/items/", views.item_list, name="item_list"),
    path("<int:pk>/items/add/", views.add_item, name="add_item"),
    path("<int:pk>/items/order/", views.require_first, name="require_first"),
    path("<int:pk>/items/take/", views.take_proposals, name="take_proposals"),
    path("<int:pk>/items/proposed/<str:key>/", views.proposal_page, name="proposal_page"),
    path("<int:pk>/items/<int:item>/", views.item_page, name="item_page"),
    path("<int:pk>/items/<int:item>/done/", views.mark_done, name="mark_done"),
    path("<int:pk>/items/<int:item>/withdraw/", views.withdraw_item, name="withdraw_item"),
    path("<int:pk>/items/<int:item>/reopen/", views.reopen_item, name="reopen_item"),
    path(
        "<int:pk>/items/<int:item>/clears/<int:finding>/",
        views.attach_finding,
        name="attach_finding",
    ),
    path("<int:pk>/rank/", views.rank_page, name="rank_page"),
    path("<int:pk>/estimate/", views.make_estimate, name="make_estimate"),
]
