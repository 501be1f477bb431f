"""The diagnoses of a stay."""

from django.urls import path

from vehicles.diagnosis import library, papers, views

app_name = "diagnosis"
one = "<int:pk>/diagnosis/<int:diagnosis>/"
a_model = "diagnosis/models/<slug:complaint>/"
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
    path(f"{one}report/", papers.case_report, name="case_report"),
    path(f"{one}report/<slug:number>/", papers.case_file, name="case_file"),
    path("diagnosis/learning/", papers.learning, name="learning"),
    path("diagnosis/learning-weight/", papers.set_experience, name="set_experience"),
    path("diagnosis/learning/<slug:complaint>/", papers.learning_of, name="learning_of"),
    path("diagnosis/models/", library.model_list, name="model_list"),
    path("diagnosis/new-model/", library.new_model, name="new_model"),
    path("diagnosis/take-models/", library.take_models, name="take_models"),
    path("diagnosis/all-models/", library.all_models, name="all_models"),
    path(a_model, library.model_page, name="model_page"),
    path(f"{a_model}edit/", library.edit_model, name="edit_model"),
    path(f"{a_model}shipped/", library.shipped_model, name="shipped_model"),
    path(f"{a_model}file/", library.model_file, name="model_file"),
    path(f"{a_model}texts/<int:number>/", library.model_text, name="model_text"),
]
