"""How a stay began, and its photos. `vehicles.urls` puts them into `intake`, below `cars/`."""

from django.urls import path

from vehicles.intake import views

urlpatterns = [
    path("paper/", views.paper_form, name="paper_form"),
    path("<int:pk>/arrival/", views.change_arrival, name="change_arrival"),
    path("<int:pk>/walk-round/", views.walk_round, name="walk_round"),
    path("<int:pk>/walk-round/<int:mark>/remove/", views.void_mark, name="void_mark"),
    path("<int:pk>/photos/", views.photo_list, name="photo_list"),
    path("<int:pk>/photos/uploads/", views.begin_upload, name="begin_upload"),
    path("<int:pk>/photos/uploads/<uuid:client_key>/", views.upload, name="upload"),
    path("<int:pk>/photos/<int:photo>/", views.photo_page, name="photo_page"),
    path("<int:pk>/photos/<int:photo>/file/", views.photo_file, name="photo_file"),
    path("<int:pk>/photos/<int:photo>/void/", views.void_photo, name="void_photo"),
]
