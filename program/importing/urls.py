"""The pages of imports."""

from django.urls import path

from program.importing import views

app_name = "importing"
urlpatterns = [
    path("", views.run_list, name="run_list"),
    path("<int:pk>/", views.run_page, name="run_page"),
    path("<int:pk>/again/", views.try_again, name="try_again"),
    path("sheets/", views.sheet_list, name="sheet_list"),
    path("sheets/<slug:name>.csv", views.sheet_template, name="sheet_template"),
    path("sheets.zip", views.all_templates, name="all_templates"),
]
