"""Addresses of the books."""

from django.urls import path

from program.ledger import views

app_name = "ledger"

urlpatterns = [
    path("", views.fund_list, name="fund_list"),
    path("funds/<int:pk>/", views.fund_page, name="fund_page"),
    path("entries/", views.entry_list, name="entry_list"),
    path("entries/new/", views.entry_new, name="entry_new"),
    path("entries/<int:pk>/", views.entry_page, name="entry_page"),
    path("entries/<int:pk>/reverse/", views.entry_reverse, name="entry_reverse"),
    path("statements/", views.statements, name="statements"),
]
