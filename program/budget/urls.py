"""Addresses of the budget."""

from django.urls import path

from program.budget import views

app_name = "budget"

urlpatterns = [
    path("", views.page, name="page"),
    path("report.pdf", views.report_pdf, name="report_pdf"),
    path("report.csv", views.report_csv, name="report_csv"),
    path("<int:year>/new/", views.line_new, name="line_new"),
    path("<int:year>/copy/", views.copy, name="copy"),
    path("lines/<int:pk>/", views.line_page, name="line_page"),
    path("lines/<int:pk>/edit/", views.line_edit, name="line_edit"),
    path("lines/<int:pk>/remove/", views.line_remove, name="line_remove"),
]
