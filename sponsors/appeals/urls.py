"""Appeals: drafts to read, approve or drop."""

from django.urls import path

from sponsors.appeals import views

app_name = "appeals"
urlpatterns = [
    path("", views.appeal_list, name="appeal_list"),
    path("<int:pk>/", views.appeal_page, name="appeal_page"),
    path("<int:pk>/drop/", views.appeal_drop, name="appeal_drop"),
]
