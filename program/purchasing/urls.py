"""The needs: what lacks, and how far it is."""

from django.urls import path

from program.purchasing import views

app_name = "purchasing"
urlpatterns = [
    path("", views.need_list, name="need_list"),
    path("<int:pk>/", views.need_page, name="need_page"),
    path("<int:pk>/conditions/", views.need_conditions, name="need_conditions"),
    path("<int:pk>/ask/", views.need_ask, name="need_ask"),
    path("<int:pk>/checked/", views.need_checked, name="need_checked"),
]
