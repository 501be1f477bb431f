"""The inspection sheet and its points."""

from django.urls import path

from vehicles.inspection import views

app_name = "inspection"
urlpatterns = [
    path("<int:pk>/sheet/", views.sheet, name="sheet"),
    path("<int:pk>/sheet/<slug:criterion>/", views.reading_page, name="reading_page"),
    path(
        "<int:pk>/sheet/<slug:criterion>/<slug:position>/",
        views.reading_page,
        name="reading_page",
    ),
]
