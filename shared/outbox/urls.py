"""Mail, as the coordinator sees it."""

from django.urls import path

from shared.outbox import views

app_name = "outbox"
urlpatterns = [
    path("", views.message_list, name="message_list"),
    path("to-read/", views.to_read, name="to_read"),
    path("<int:pk>/", views.message_page, name="message_page"),
    path("<int:pk>/send-again/", views.send_again, name="send_again"),
    path("<int:pk>/arrived/", views.mark_arrived, name="mark_arrived"),
]
