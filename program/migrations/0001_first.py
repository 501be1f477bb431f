import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import program.households.stages
import program.importing.states
import program.planning.states
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("shared", "0001_first"),
        ("shared", "__first__"),
        ("vehicles", "0001_first"),
    ]

    operations = [
        migrations.CreateModel(
            name="Case",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "number",
                    models.CharField(help_text="Year and number, such as 26-041.", max_length=10),
                ),
                ("opened_on", models.DateField()),
                (
                    "promised_on",
                    models.DateField(
                        blank=True, help_text="A day the household was told.", null=True
                    ),
                ),
                ("next_word_on", models.DateField(blank=True, null=True)),
                ("closed_on", models.DateField(blank=True, null=True)),
                ("closed_because", models.CharField(blank=True, max_length=200)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "link",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.accesslink",
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
                (
                    "vehicle",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.vehicle",
                    ),
                ),
            ],
            options={
                "ordering": ["number"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "number"),
                        name="case_number_once",
                        violation_error_message="There is a case of this number already.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("closed_on__isnull", True)),
                        fields=("program", "vehicle"),
                        name="case_one_open_a_vehicle",
                        violation_error_message="This vehicle has an open case already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("closed_on__isnull", True),
                            ("closed_on__gte", models.F("opened_on")),
                            _connector="OR",
                        ),
                        name="case_closes_after_opening",
                        violation_error_message="A case can't close before it opens.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Entry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "key",
                    models.CharField(help_text="What caused it, such as `plan:5`.", max_length=80),
                ),
                ("on", models.DateField()),
                ("what", models.CharField(max_length=200)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
                (
                    "reverses",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reversed_by",
                        to="program.entry",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "entries",
                "ordering": ["-on", "-pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "key"),
                        name="entry_key_once",
                        violation_error_message="This was booked already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Fund",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("code", models.CharField(max_length=20)),
                ("name", models.CharField(max_length=80)),
                (
                    "restricted",
                    models.BooleanField(default=False, verbose_name="with donor restriction"),
                ),
                ("purpose", models.CharField(blank=True, max_length=200)),
                ("rule", models.JSONField(blank=True, default=dict)),
                ("opened_on", models.DateField()),
                ("lapses_on", models.DateField(blank=True, null=True)),
                ("closed_on", models.DateField(blank=True, null=True)),
                ("version", models.PositiveIntegerField(default=1)),
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
                "ordering": ["restricted", "name", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "code"),
                        name="fund_code_once",
                        violation_error_message="There is a fund of this code already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("lapses_on__isnull", True),
                            ("lapses_on__gte", models.F("opened_on")),
                            _connector="OR",
                        ),
                        name="fund_dates_in_order",
                        violation_error_message="A fund can't lapse before it opens.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Commitment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("cause", models.CharField(help_text="Such as `plan:5`.", max_length=40)),
                ("item_id", models.BigIntegerField(help_text="The repair item.")),
                ("cents", models.BigIntegerField()),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="commitments",
                        to="program.case",
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
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="commitments",
                        to="program.entry",
                    ),
                ),
                (
                    "released_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="released",
                        to="program.entry",
                    ),
                ),
                (
                    "fund",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="commitments",
                        to="program.fund",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("cents__gt", 0)),
                        name="commitment_cents_above_zero",
                        violation_error_message="A commitment must be more than zero.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("released_by__isnull", True)),
                        fields=("program", "item_id", "fund"),
                        name="commitment_once_an_item",
                        violation_error_message="This fund has money set aside for this item already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Household",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(help_text="The person who applied.", max_length=120)),
                (
                    "adults",
                    models.PositiveSmallIntegerField(
                        default=1, validators=[django.core.validators.MinValueValidator(1)]
                    ),
                ),
                ("children", models.PositiveSmallIntegerField(default=0)),
                ("county", models.CharField(blank=True, max_length=40)),
                (
                    "kinds",
                    models.JSONField(
                        blank=True, default=list, help_text="Codes that restrictions speak of."
                    ),
                ),
                (
                    "safe_contact_on",
                    models.DateField(
                        blank=True,
                        help_text="Empty: not asked, so no mail goes.",
                        null=True,
                        verbose_name="safe contact asked on",
                    ),
                ),
                (
                    "miles_per_week",
                    models.PositiveIntegerField(
                        default=0, validators=[django.core.validators.MaxValueValidator(5000)]
                    ),
                ),
                (
                    "stage",
                    models.CharField(
                        choices=[
                            ("called", "Called"),
                            ("applied", "Applied"),
                            ("accepted", "Accepted"),
                            ("deciding", "Deciding"),
                            ("waiting", "Waiting"),
                            ("being_served", "Being served"),
                            ("back_on_road", "Back on the road"),
                            ("followed_up", "Followed up"),
                            ("declined", "Declined"),
                            ("withdrawn", "Withdrawn"),
                            ("referred", "Referred"),
                        ],
                        default=program.households.stages.Stage["CALLED"],
                        max_length=20,
                    ),
                ),
                ("stage_since_on", models.DateField()),
                ("decide_by_on", models.DateField(blank=True, null=True)),
                ("need_weight", models.PositiveSmallIntegerField(default=0)),
                (
                    "need_points",
                    models.JSONField(
                        default=dict, help_text="Points by code, as the program set them."
                    ),
                ),
                ("threat_on", models.DateField(blank=True, null=True, verbose_name="dated threat")),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "address",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.address",
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
                "ordering": ["name", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "stage__in",
                                [
                                    "called",
                                    "applied",
                                    "accepted",
                                    "deciding",
                                    "waiting",
                                    "being_served",
                                    "back_on_road",
                                    "followed_up",
                                    "declined",
                                    "withdrawn",
                                    "referred",
                                ],
                            )
                        ),
                        name="household_stage_known",
                        violation_error_message="This stage is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("adults__range", (1, 30)), ("children__lte", 30)),
                        name="household_size_possible",
                        violation_error_message="A household has 1 to 30 adults and up to 30 children.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("miles_per_week__lte", 5000)),
                        name="household_miles_possible",
                        violation_error_message="Nobody drives more than 5,000 miles a week.",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="case",
            name="household",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="cases",
                to="program.household",
            ),
        ),
        migrations.CreateModel(
            name="ImportRun",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(help_text="Of the folder or file.", max_length=200)),
                ("sha256", models.CharField(max_length=64)),
                ("file", models.FileField(blank=True, upload_to="imports/")),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("asked", "asked"),
                            ("refused", "refused"),
                            ("done", "done"),
                            ("failed", "failed"),
                        ],
                        default=program.importing.states.ImportState["ASKED"],
                        max_length=10,
                    ),
                ),
                ("progress", models.CharField(blank=True, max_length=120)),
                (
                    "counts",
                    models.JSONField(
                        blank=True, default=dict, help_text="By sheet: new, known, left out."
                    ),
                ),
                ("problems", models.JSONField(blank=True, default=list)),
                (
                    "left_out",
                    models.JSONField(
                        blank=True, default=list, help_text="Rows a person chose to leave out."
                    ),
                ),
                ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("done_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
                        condition=models.Q(("state__in", ["asked", "refused", "done", "failed"])),
                        name="import_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("state", program.importing.states.ImportState["DONE"]),
                                _negated=True,
                            ),
                            ("problems", []),
                            _connector="OR",
                        ),
                        name="import_done_has_no_problem",
                        violation_error_message="An import with a problem left writes nothing.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ImportedRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sheet", models.CharField(max_length=40)),
                ("ref", models.CharField(max_length=60)),
                ("object_id", models.BigIntegerField()),
                (
                    "fingerprint",
                    models.CharField(help_text="SHA-256 of the row's values.", max_length=64),
                ),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
                (
                    "run",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="rows",
                        to="program.importrun",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "sheet", "ref"),
                        name="imported_ref_once",
                        violation_error_message="A row with this ref was imported already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Pin",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "direction",
                    models.CharField(choices=[("in", "in"), ("out", "out")], max_length=3),
                ),
                ("reason", models.CharField(max_length=200)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="pins",
                        to="program.case",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("direction__in", ["in", "out"])),
                        name="pin_direction_known",
                        violation_error_message="This direction is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=("program", "case"),
                        name="pin_once_a_case",
                        violation_error_message="This case is pinned already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Plan",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveIntegerField()),
                ("first_week_on", models.DateField()),
                ("weeks", models.PositiveSmallIntegerField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("asked", "asked"),
                            ("ready", "ready"),
                            ("failed", "failed"),
                            ("approved", "approved"),
                            ("superseded", "superseded"),
                        ],
                        default=program.planning.states.PlanState["ASKED"],
                        max_length=12,
                    ),
                ),
                ("input_hash", models.CharField(blank=True, max_length=64)),
                ("result", models.JSONField(blank=True, default=dict)),
                ("proven", models.BooleanField(default=False)),
                ("value", models.IntegerField(default=0, help_text="Need weight that goes home.")),
                (
                    "bound",
                    models.IntegerField(default=0, help_text="No plan can reach more than this."),
                ),
                ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("computed_at", models.DateTimeField(blank=True, null=True)),
                ("error", models.CharField(blank=True, max_length=300)),
                ("approved_at", models.DateTimeField(blank=True, null=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "approved_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "asked_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
                            ("state__in", ["asked", "ready", "failed", "approved", "superseded"])
                        ),
                        name="plan_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "number"),
                        name="plan_number_once",
                        violation_error_message="There is a plan of this number already.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(
                            ("state", program.planning.states.PlanState["APPROVED"])
                        ),
                        fields=("program", "state"),
                        name="plan_one_approved",
                        violation_error_message="Another plan is approved; this one has to follow it.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("value__lte", models.F("bound"))),
                        name="plan_value_within_bound",
                        violation_error_message="A plan can't be worth more than its bound.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("state", program.planning.states.PlanState["APPROVED"]),
                                _negated=True,
                            ),
                            models.Q(
                                ("approved_at__isnull", False), ("approved_by__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="plan_approved_by_somebody",
                        violation_error_message="An approved plan names who approved it.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PlannedCase",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("start_week_on", models.DateField()),
                ("home_from_on", models.DateField()),
                ("home_by_on", models.DateField()),
                ("cash_cents", models.BigIntegerField(default=0)),
                ("minutes", models.PositiveIntegerField(default=0)),
                ("work_left", models.CharField(blank=True, max_length=200)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="planned",
                        to="program.case",
                    ),
                ),
                (
                    "plan",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="planned",
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
                "ordering": ["home_from_on", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "plan", "case"),
                        name="planned_case_once",
                        violation_error_message="This case is in the plan already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("home_from_on__lte", models.F("home_by_on")), ("cash_cents__gte", 0)
                        ),
                        name="planned_days_in_order",
                        violation_error_message="The first day home is not after the last.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Question",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("text", models.TextField(max_length=1000)),
                ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("answer", models.TextField(blank=True, max_length=2000)),
                ("answered_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                (
                    "answered_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="questions",
                        to="program.case",
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
                            models.Q(("answer", ""), ("answered_at__isnull", True)),
                            models.Q(
                                models.Q(("answer", ""), _negated=True),
                                ("answered_at__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="question_answer_has_moment",
                        violation_error_message="An answer has its words and its moment.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Tie",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("declared_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("ended_on", models.DateField(blank=True, null=True)),
                (
                    "household",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="ties",
                        to="program.household",
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
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("ended_on__isnull", True)),
                        fields=("program", "household", "user"),
                        name="tie_declared_once",
                        violation_error_message="This tie is on record already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Transfer",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("debit", models.CharField(max_length=10)),
                ("credit", models.CharField(max_length=10)),
                ("cents", models.BigIntegerField()),
                ("memo", models.CharField(blank=True, max_length=120)),
                (
                    "case",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="program.case",
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="transfers",
                        to="program.entry",
                    ),
                ),
                (
                    "fund",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="transfers",
                        to="program.fund",
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
                "ordering": ["entry", "pk"],
                "indexes": [models.Index(fields=["program", "fund"], name="transfer_fund")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("cents__gt", 0)),
                        name="transfer_cents_above_zero",
                        violation_error_message="The amount of a transfer must be more than zero.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("debit", models.F("credit")), _negated=True),
                        name="transfer_between_two_accounts",
                        violation_error_message="A transfer moves money between two different accounts.",
                    ),
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="case",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("household__isnull", False), ("vehicle__isnull", False), _connector="OR"
                ),
                name="case_of_somebody",
                violation_error_message="A case has a household, a vehicle or both.",
            ),
        ),
    ]
