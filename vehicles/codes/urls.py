"""The trouble codes of a stay."""

from django.urls import path

from vehicles.codes import views

app_name = "codes"
urlpatterns = [
    path("<int:pk>/codes/", views.code_list, name="code_list"),
    path("<int:pk>/codes/<int:scan>/cleared/", views.clear_codes, name="clear_codes"),
    path("<int:pk>/codes/<int:scan>/withdraw/", views.withdraw_scan, name="withdraw_scan"),
]
