"""Addresses of the funds."""

from django.urls import path

from program.funds import views

app_name = "funds"

urlpatterns = [
    path("", views.fund_list, name="fund_list"),
    path("funds/<int:pk>/", views.fund_page, name="fund_page"),
]
