"""Every address of the site, by room."""

from django.urls import URLPattern, URLResolver, include, path

# A bug is answered with a number that is also in the log.
handler500 = "shared.views.server_error"

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("program.desk.urls")),
    path("accounts/", include("shared.accounts.urls")),
    path("car/", include("program.status.urls")),
    path("days/", include("program.days.urls")),
    path("decisions/", include("program.decisions.urls")),
    path("handback/", include("program.handback.urls")),
    path("households/", include("program.households.urls")),
    path("import/", include("program.importing.urls")),
    path("jobs/", include("shared.jobs.urls")),
    path("looks/", include("shared.looks.urls")),
    path("mail/", include("shared.outbox.urls")),
    path("money/", include("program.funds.urls")),
    path("money/bank/", include("program.bank.urls")),
    path("money/budget/", include("program.budget.urls")),
    path("money/entries/", include("program.ledger.urls")),
    path("money/files/", include("program.reports.urls")),
    path("money/gifts/", include("program.gifts.urls")),
    path("money/grants/", include("program.grants.urls")),
    path("money/months/", include("program.closing.urls")),
    path("money/papers/", include("program.papers.urls")),
    path("money/statements/", include("program.statements.urls")),
    path("needs/", include("program.purchasing.urls")),
    path("people/", include("shared.people.urls")),
    path("week/", include("program.planning.urls")),
    path("", include("vehicles.urls")),
    path("", include("sponsors.urls")),
]
