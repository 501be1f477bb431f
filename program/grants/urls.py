"""Addresses of restricted gifts, grants and claims."""

from django.urls import URLPattern, path

from program.grants import views

app_name = "grants"

urlpatterns: list[URLPattern] = [
    path("", views.grant_list, name="grant_list"),
    path("new/", views.grant_new, name="grant_new"),
    path("<int:pk>/", views.grant_page, name="grant_page"),
    path("<int:pk>/edit/", views.grant_edit, name="grant_edit"),
    path("<int:pk>/costs/", views.grant_costs, name="grant_costs"),
    path("<int:pk>/others/", views.grant_others, name="grant_others"),
    path("<int:pk>/claims/", views.claim_begin, name="claim_begin"),
    path("claims/<int:pk>/", views.claim_page, name="claim_page"),
    path("claims/<int:pk>/do/<slug:step>/", views.claim_do, name="claim_do"),
    path("claims/<int:pk>/papers/", views.claim_papers, name="claim_papers"),
    path("claims/<int:pk>/<slug:kind>/", views.claim_file, name="claim_file"),
]
