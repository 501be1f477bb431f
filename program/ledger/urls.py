"""Addresses of the journal."""

from django.urls import path

from program.ledger import views

app_name = "ledger"

urlpatterns = [
    path("", views.entry_list, name="entry_list"),
    path("new/", views.entry_new, name="entry_new"),
    path("<int:pk>/", views.entry_page, name="entry_page"),
    path("<int:pk>/reverse/", views.entry_reverse, name="entry_reverse"),
]
