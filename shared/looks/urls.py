"""The page of all pieces."""

from django.urls import path

from shared.looks import views

app_name = "looks"
urlpatterns = [path("", views.piece_list, name="piece_list")]
