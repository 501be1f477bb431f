"""Whose a car is, who said yes, and where it, its keys and its contents are."""

from django.urls import path

from vehicles.custody import views

app_name = "custody"
urlpatterns = [
    path("<int:pk>/move/", views.move_vehicle, name="move_vehicle"),
    path("<int:pk>/custody/", views.custody_page, name="custody_page"),
    path("<int:pk>/custody/standing/", views.record_standing, name="record_standing"),
    path("<int:pk>/custody/decide/", views.decide_standing, name="decide_standing"),
    path("<int:pk>/custody/owner/", views.name_owner, name="name_owner"),
    path("<int:pk>/custody/owner/<int:owner>/end/", views.end_owner, name="end_owner"),
    path("<int:pk>/custody/consent/", views.give_consents, name="give_consents"),
    path(
        "<int:pk>/custody/consent/<int:consent>/withdraw/",
        views.withdraw_consent,
        name="withdraw_consent",
    ),
    path("<int:pk>/custody/keys/", views.keep_keys, name="keep_keys"),
    path("<int:pk>/custody/keys/return/", views.return_keys, name="return_keys"),
    path("<int:pk>/custody/contents/", views.list_content, name="list_content"),
    path(
        "<int:pk>/custody/contents/<int:content>/return/",
        views.return_content,
        name="return_content",
    ),
    path(
        "<int:pk>/custody/contents/<int:content>/decide/",
        views.decide_content,
        name="decide_content",
    ),
    path("<int:pk>/custody/tow/", views.order_tow, name="order_tow"),
]
