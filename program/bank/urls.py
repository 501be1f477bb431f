"""Addresses of the bank statements."""

from django.urls import path

from program.bank import papers, questions, views

app_name = "bank"

urlpatterns = [
    path("", views.statement_list, name="statement_list"),
    path("new/", views.statement_new, name="statement_new"),
    path("check/", views.statement_check, name="statement_check"),
    path("<int:pk>/", views.statement_page, name="statement_page"),
    path("<int:pk>/sure/", views.match_sure, name="match_sure"),
    path("<int:pk>/accept/", views.accept, name="accept"),
    path("<int:pk>/undo/", views.undo, name="undo"),
    path("<int:pk>/reconciliation/", papers.reconciliation, name="reconciliation"),
    path("<int:pk>/reconciliation.pdf", papers.reconciliation_file, name="reconciliation_file"),
    path("<int:pk>/finish/", papers.finish, name="finish"),
    path("<int:pk>/reopen/", papers.reopen, name="reopen"),
    path("lines/<int:pk>/", questions.line_page, name="line_page"),
    path("lines/<int:pk>/match/", questions.match, name="match"),
    path("lines/<int:pk>/book/", questions.book, name="book"),
    path("lines/<int:pk>/bounced/<int:entry>/", questions.bounced, name="bounced"),
]
