"""Addresses of the journal."""

from django.urls import path

from program.ledger import views

app_name = "ledger"

urlpatterns = [
    path("", views.entry_list, name="entry_list"),
    path("new/", views.entry_new, name="entry_new"),
    path("accounts/", views.account_list, name="account_list"),
    path("waiting/<int:pk>/", views.proposal_page, name="proposal_page"),
    path("waiting/<int:pk>/agree/", views.proposal_agree, name="proposal_agree"),
    path("waiting/<int:pk>/decline/", views.proposal_decline, name="proposal_decline"),
    path("waiting/<int:pk>/take-back/", views.proposal_take_back, name="proposal_take_back"),
    path("<int:pk>/", views.entry_page, name="entry_page"),
    path("<int:pk>/reverse/", views.entry_reverse, name="entry_reverse"),
]
