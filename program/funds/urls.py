"""Addresses of the funds."""

from django.urls import path

from program.funds import views

app_name = "funds"

urlpatterns = [
    path("", views.fund_list, name="fund_list"),
    path("funds/new/", views.fund_new, name="fund_new"),
    path("funds/<int:pk>/", views.fund_page, name="fund_page"),
    path("funds/<int:pk>/edit/", views.fund_edit, name="fund_edit"),
    path("funds/<int:pk>/rule/", views.fund_rule, name="fund_rule"),
    path("funds/<int:pk>/close/", views.fund_close, name="fund_close"),
]
