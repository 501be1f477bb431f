"""The diagnoses of a stay."""

from django.urls import path

from vehicles.diagnosis import papers, views

app_name = "diagnosis"
one = "<int:pk>/diagnosis/<int:diagnosis>/"
urlpatterns = [
    path("<int:pk>/diagnosis/", views.diagnosis_list, name="diagnosis_list"),
    path(one, views.diagnosis_page, name="diagnosis_page"),
    path(f"{one}complaint/", views.verify_complaint, name="verify_complaint"),
    path(f"{one}checks/<slug:check>/", views.check_page, name="check_page"),
    path(f"{one}seen/<int:observation>/", views.take_back, name="take_back"),
    path(f"{one}codes/", views.take_codes, name="take_codes"),
    path(f"{one}setups/", views.change_setup, name="change_setup"),
    path(f"{one}conclude/", views.conclude, name="conclude"),
    path(f"{one}otherwise/", views.overrule, name="overrule"),
    path(f"{one}conclusions/<int:conclusion>/", views.withdraw, name="withdraw"),
    path(f"{one}end/", views.end_diagnosis, name="end_diagnosis"),
    path(f"{one}held/", papers.held, name="held"),
    path(f"{one}held/<int:held>/", papers.withdraw_held, name="withdraw_held"),
    path("diagnosis/learning/", papers.learning, name="learning"),
    path("diagnosis/learning/<slug:complaint>/", papers.learning_of, name="learning_of"),
]
