"""The inspection sheet and its points, classes that people set, and local limits."""

from django.urls import path

from vehicles.inspection import papers, views

app_name = "inspection"
urlpatterns = [
    path("limits/", views.limit_list, name="limit_list"),
    path("limits/<int:limit>/end/", views.end_limit, name="end_limit"),
    path("<int:pk>/report/", papers.report, name="report"),
    path("<int:pk>/report/<slug:number>/", papers.report_file, name="report_file"),
    path("<int:pk>/sheet/", views.sheet, name="sheet"),
    path("<int:pk>/inspections/", views.begin_inspection, name="begin_inspection"),
    path("<int:pk>/inspections/<int:inspection>/", views.end_inspection, name="end_inspection"),
    path("<int:pk>/inspections/<int:inspection>/hands/", views.take_over, name="take_over"),
    path("<int:pk>/readings/<int:reading>/", views.regrade_page, name="regrade_page"),
    path("<int:pk>/classes/<int:regrade>/", views.answer_regrade, name="answer_regrade"),
    path("<int:pk>/good/<slug:criterion>/", views.rest_good, name="rest_good"),
    path("<int:pk>/sheet/<slug:criterion>/", views.reading_page, name="reading_page"),
    path(
        "<int:pk>/sheet/<slug:criterion>/<slug:position>/",
        views.reading_page,
        name="reading_page",
    ),
]
