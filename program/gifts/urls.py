"""Addresses of gifts with a purpose."""

from django.urls import path

from program.gifts import views

app_name = "gifts"

urlpatterns = [
    path("", views.offer_list, name="offer_list"),
    path("new/", views.offer_new, name="offer_new"),
    path("<int:pk>/", views.offer_page, name="offer_page"),
    path("<int:pk>/edit/", views.offer_edit, name="offer_edit"),
    path("<int:pk>/rule/", views.offer_rule, name="offer_rule"),
    path("<int:pk>/accept/", views.offer_accept, name="offer_accept"),
    path("<int:pk>/refuse/", views.offer_refuse, name="offer_refuse"),
    path("<int:pk>/receive/", views.offer_receive, name="offer_receive"),
    path("<int:pk>/meet/", views.offer_meet, name="offer_meet"),
    path("<int:pk>/take-back/", views.offer_take_back, name="offer_take_back"),
]
