import django.db.models.deletion
import django.utils.timezone
import program.days.states
import program.decisions.states
import program.planning.states
import vehicles.custody.kinds
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("program", "0001_first"),
        ("shared", "0003_progress_and_shifts"),
        ("shared", "__first__"),
        ("vehicles", "0005_estimates_and_shop"),
    ]

    operations = [
        migrations.CreateModel(
            name="Authorization",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "cents",
                    models.BigIntegerField(verbose_name="authorized, at the 80 percent point"),
                ),
                ("minutes", models.PositiveIntegerField(default=0)),
                (
                    "owner_how",
                    models.CharField(
                        choices=[
                            ("screen", "Signed on the screen"),
                            ("paper", "Signed on paper, which is kept"),
                            ("phone", "Said on the phone, with a witness"),
                            ("imported", "Taken over from earlier records"),
                        ],
                        max_length=10,
                    ),
                ),
                ("owner_on", models.DateField()),
                ("interpreter", models.CharField(blank=True, max_length=120)),
                ("witness", models.CharField(blank=True, max_length=120)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                ("ended_because", models.CharField(blank=True, max_length=200)),
                ("client_key", models.UUIDField(blank=True, null=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="for the budget",
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="authorizations",
                        to="program.case",
                    ),
                ),
                (
                    "estimate",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="authorizations",
                        to="vehicles.estimate",
                    ),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="authorizations",
                        to="vehicles.intake",
                    ),
                ),
                (
                    "owner",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.owner",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("owner_how__in", ["screen", "paper", "phone", "imported"])
                        ),
                        name="authorization_way_known",
                        violation_error_message="This owner how is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cents__gte", 0)),
                        name="authorization_not_negative",
                        violation_error_message="An authorized amount can't be negative.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("owner_how", vehicles.custody.kinds.SignedHow["PHONE"]),
                                _negated=True,
                            ),
                            models.Q(("witness", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="authorization_phone_has_witness",
                        violation_error_message="A consent on the phone needs its witness.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=("program", "intake"),
                        name="authorization_one_stands",
                        violation_error_message="This stay has an authorization already.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "client_key"),
                        name="authorization_written_once",
                        violation_error_message="This authorization is on record already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Booking",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("cause", models.CharField(help_text="Such as `plan:5`.", max_length=40)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("work", "Work"),
                            ("rest", "Curing or drying"),
                            ("away", "Away"),
                            ("final", "Final inspection"),
                        ],
                        max_length=8,
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                ("begins_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "ended_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="no longer stands"),
                ),
                ("ended_because", models.CharField(blank=True, max_length=120)),
                (
                    "bay",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bookings",
                        to="vehicles.bay",
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bookings",
                        to="program.case",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bookings",
                        to="vehicles.repairitem",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bookings",
                        to="shared.person",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
            ],
            options={
                "ordering": ["begins_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["work", "rest", "away", "final"])),
                        name="booking_kind_known",
                        violation_error_message="This kind is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("ends_at__gt", models.F("begins_at"))),
                        name="booking_times_in_order",
                        violation_error_message="A booking ends after it begins.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CalendarFeed",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "link",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="calendar",
                        to="shared.accesslink",
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="calendars",
                        to="shared.person",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Supplement",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveSmallIntegerField()),
                ("reason", models.CharField(max_length=300)),
                (
                    "cents",
                    models.BigIntegerField(
                        verbose_name="more than authorized, at the 80 percent point"
                    ),
                ),
                ("minutes", models.PositiveIntegerField(default=0, verbose_name="more minutes")),
                (
                    "to_go_cents",
                    models.BigIntegerField(default=0, verbose_name="cost to go of the whole car"),
                ),
                (
                    "spent_cents",
                    models.BigIntegerField(
                        default=0, verbose_name="spent so far; it doesn't count"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("asked", "asked"),
                            ("agreed", "agreed"),
                            ("declined", "declined"),
                            ("withdrawn", "withdrawn"),
                        ],
                        default=program.decisions.states.SupplementState["ASKED"],
                        max_length=10,
                    ),
                ),
                ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "owner_how",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("screen", "Signed on the screen"),
                            ("paper", "Signed on paper, which is kept"),
                            ("phone", "Said on the phone, with a witness"),
                            ("imported", "Taken over from earlier records"),
                        ],
                        max_length=10,
                    ),
                ),
                ("owner_at", models.DateTimeField(blank=True, null=True)),
                ("interpreter", models.CharField(blank=True, max_length=120)),
                ("witness", models.CharField(blank=True, max_length=120)),
                ("budget_at", models.DateTimeField(blank=True, null=True)),
                ("closed_because", models.CharField(blank=True, max_length=200)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "asked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "authorization",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="supplements",
                        to="program.authorization",
                    ),
                ),
                (
                    "budget_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "items",
                    models.ManyToManyField(
                        blank=True, related_name="supplements", to="vehicles.repairitem"
                    ),
                ),
                (
                    "owner",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.owner",
                    ),
                ),
                (
                    "owner_noted_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "photo",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.photo",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
            ],
            options={
                "ordering": ["-number"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["asked", "agreed", "declined", "withdrawn"])
                        ),
                        name="supplement_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cents__gte", 0), ("to_go_cents__gte", 0), ("spent_cents__gte", 0)
                        ),
                        name="supplement_not_negative",
                        violation_error_message="An amount can't be negative.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("state", program.decisions.states.SupplementState["AGREED"]),
                                _negated=True,
                            ),
                            models.Q(
                                ("budget_at__isnull", False),
                                ("budget_by__isnull", False),
                                ("owner_at__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="supplement_agreed_by_both",
                        violation_error_message="A supplement needs the owner's yes and the budget's.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("budget_by__isnull", True),
                            models.Q(("budget_by", models.F("asked_by")), _negated=True),
                            _connector="OR",
                        ),
                        name="supplement_budget_by_another",
                        violation_error_message="Who asks for money doesn't grant it.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("owner_how", vehicles.custody.kinds.SignedHow["PHONE"]),
                                _negated=True,
                            ),
                            models.Q(("witness", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="supplement_phone_has_witness",
                        violation_error_message="A consent on the phone needs its witness.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "authorization", "number"),
                        name="supplement_number_once",
                        violation_error_message="There is a supplement of this number already.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "client_key"),
                        name="supplement_written_once",
                        violation_error_message="This supplement is on record already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Trouble",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("person_away", "Somebody is away"),
                            ("bay_closed", "A bay is closed"),
                            ("part_late", "A part is late"),
                            ("ran_over", "Work ran over"),
                        ],
                        max_length=12,
                    ),
                ),
                ("from_on", models.DateField()),
                ("until_on", models.DateField()),
                ("minutes", models.PositiveIntegerField(default=0, verbose_name="more minutes")),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "ended_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="taken back"),
                ),
                ("client_key", models.UUIDField(blank=True, null=True)),
                (
                    "bay",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.bay",
                    ),
                ),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="troubles",
                        to="program.case",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.repairitem",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.person",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
            ],
            options={
                "ordering": ["from_on", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("kind__in", ["person_away", "bay_closed", "part_late", "ran_over"])
                        ),
                        name="trouble_kind_known",
                        violation_error_message="This kind is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("until_on__gte", models.F("from_on"))),
                        name="trouble_days_in_order",
                        violation_error_message="The last day is not before the first.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("kind", program.days.states.TroubleKind["PERSON_AWAY"]),
                                ("person__isnull", False),
                            ),
                            models.Q(
                                ("bay__isnull", False),
                                ("kind", program.days.states.TroubleKind["BAY_CLOSED"]),
                            ),
                            models.Q(
                                ("case__isnull", False),
                                (
                                    "kind__in",
                                    [
                                        program.days.states.TroubleKind["PART_LATE"],
                                        program.days.states.TroubleKind["RAN_OVER"],
                                    ],
                                ),
                            ),
                            _connector="OR",
                        ),
                        name="trouble_names_its_subject",
                        violation_error_message="Say who is away, which bay is closed, or which car it is.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "client_key"),
                        name="trouble_told_once",
                        violation_error_message="This was told already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WhatIf",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changes", models.JSONField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("asked", "asked"),
                            ("ready", "ready"),
                            ("failed", "failed"),
                            ("approved", "approved"),
                            ("superseded", "superseded"),
                            ("canceled", "canceled"),
                        ],
                        default=program.planning.states.PlanState["ASKED"],
                        max_length=12,
                    ),
                ),
                ("result", models.JSONField(blank=True, default=dict)),
                ("error", models.CharField(blank=True, max_length=300)),
                ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("computed_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True)),
                (
                    "asked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "plan",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="questions",
                        to="program.plan",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
            ],
            options={
                "ordering": ["-asked_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "state__in",
                                ["asked", "ready", "failed", "approved", "superseded", "canceled"],
                            )
                        ),
                        name="what_if_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "client_key"),
                        name="what_if_asked_once",
                        violation_error_message="This was asked already.",
                    ),
                ],
            },
        ),
        migrations.RemoveConstraint(
            model_name="plan",
            name="plan_state_known",
        ),
        migrations.AddField(
            model_name="plan",
            name="asks",
            field=models.JSONField(
                blank=True, default=dict, verbose_name="what to ask for first, exact"
            ),
        ),
        migrations.AddField(
            model_name="plan",
            name="repeatable",
            field=models.BooleanField(
                default=True, help_text="No: a clock or a person stopped the search."
            ),
        ),
        migrations.AlterField(
            model_name="plan",
            name="state",
            field=models.CharField(
                choices=[
                    ("asked", "asked"),
                    ("ready", "ready"),
                    ("failed", "failed"),
                    ("approved", "approved"),
                    ("superseded", "superseded"),
                    ("canceled", "canceled"),
                ],
                default=program.planning.states.PlanState["ASKED"],
                max_length=12,
            ),
        ),
        migrations.AddConstraint(
            model_name="plan",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "state__in",
                        ["asked", "ready", "failed", "approved", "superseded", "canceled"],
                    )
                ),
                name="plan_state_known",
                violation_error_message="This state is not known to the program.",
            ),
        ),
        migrations.AddIndex(
            model_name="booking",
            index=models.Index(fields=["program", "begins_at"], name="booking_by_time"),
        ),
    ]
