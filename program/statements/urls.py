"""Addresses of the statements."""

from django.urls import path

from program.statements import views

app_name = "statements"

urlpatterns = [
    path("", views.page, name="page"),
    path("all.pdf", views.all_pdf, name="all_pdf"),
    path("<slug:name>/", views.statement, name="statement"),
    path("<slug:name>.pdf", views.statement_pdf, name="statement_pdf"),
    path("<slug:name>.csv", views.statement_csv, name="statement_csv"),
]
