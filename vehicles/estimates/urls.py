"""Estimates of a stay, prices side by side, and how estimates came out."""

from django.urls import path

from vehicles.estimates import views

app_name = "estimates"
urlpatterns = [
    path("estimates/record/", views.record, name="record"),
    path("estimates/record/correct/", views.correct, name="correct"),
    path("<int:pk>/estimates/", views.estimate_page, name="estimate_page"),
    path("<int:pk>/estimates/paper/<str:language>/", views.estimate_file, name="estimate_file"),
    path("<int:pk>/needs/<int:need>/prices/", views.need_prices, name="need_prices"),
    path("<int:pk>/items/<int:item>/prices/", views.item_prices, name="item_prices"),
    path("<int:pk>/prices/<int:quote>/choose/", views.choose_quote, name="choose_quote"),
    path("<int:pk>/prices/<int:quote>/withdraw/", views.withdraw_quote, name="withdraw_quote"),
    path("<int:pk>/prices/<int:quote>/paper/", views.quote_file, name="quote_file"),
    path("<int:pk>/items/<int:item>/finish/", views.finish_item, name="finish_item"),
    path("<int:pk>/items/<int:item>/took/", views.record_actuals, name="record_actuals"),
]
