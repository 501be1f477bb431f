"""People of the shop: what each may do, and their papers."""

from django.urls import path

from shared.people import views

app_name = "people"
urlpatterns = [
    path("", views.person_list, name="person_list"),
    path("add/", views.person_add, name="person_add"),
    path("<int:pk>/", views.person_page, name="person_page"),
    path("<int:pk>/edit/", views.person_edit, name="person_edit"),
    path("<int:pk>/leave/", views.person_leave, name="person_leave"),
    path("<int:pk>/skill/", views.skill_sign_off, name="skill_sign_off"),
    path("<int:pk>/paper/", views.paper_record, name="paper_record"),
    path("<int:pk>/hours/", views.person_hours, name="person_hours"),
    path("<int:pk>/hours/<slug:week>/", views.week_hours, name="week_hours"),
    path("<int:pk>/hours/<slug:week>/same/", views.week_same, name="week_same"),
    path("skills/<int:pk>/end/", views.skill_end, name="skill_end"),
    path("papers/<int:pk>/end/", views.paper_end, name="paper_end"),
]
