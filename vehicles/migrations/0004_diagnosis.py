import django.db.models.deletion
import django.utils.timezone
import vehicles.codes.kinds
import vehicles.diagnosis.kinds
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shared", "0002_papers_of_people"),
        ("shared", "__first__"),
        ("vehicles", "0003_needs_given"),
    ]

    operations = [
        migrations.CreateModel(
            name="CodeScan",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("pasted", models.TextField(blank=True)),
                (
                    "complete",
                    models.BooleanField(default=False, verbose_name="all modules were read"),
                ),
                ("battery_volts", models.CharField(blank=True, max_length=10)),
                (
                    "lamp",
                    models.CharField(
                        choices=[
                            ("off", "Off"),
                            ("steady", "Steady"),
                            ("flashing", "Flashing"),
                            ("unknown", "Unknown"),
                        ],
                        default=vehicles.codes.kinds.Lamp["UNKNOWN"],
                        max_length=10,
                    ),
                ),
                ("freeze_frame", models.TextField(blank=True)),
                ("note", models.CharField(blank=True, max_length=300)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "cleared_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="codes cleared"),
                ),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn_because", models.CharField(blank=True, max_length=200)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "cleared_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="code_scans",
                        to="vehicles.intake",
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
                        condition=models.Q(("lamp__in", ["off", "steady", "flashing", "unknown"])),
                        name="code_scan_lamp_known",
                        violation_error_message="This lamp is not known to the program.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="FluidReading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("fluid", models.CharField(max_length=20)),
                ("engine", models.CharField(max_length=10)),
                ("heat", models.CharField(max_length=10)),
                ("level_ground", models.BooleanField(null=True)),
                (
                    "missing_eighths",
                    models.PositiveSmallIntegerField(
                        blank=True, help_text="Of the space between the marks.", null=True
                    ),
                ),
                ("level", models.CharField(max_length=20)),
                (
                    "looks",
                    models.CharField(blank=True, max_length=20, verbose_name="what it looks like"),
                ),
                ("said", models.CharField(max_length=300, verbose_name="what it means")),
                ("note", models.CharField(blank=True, max_length=300)),
                (
                    "read_by",
                    models.CharField(
                        help_text="Name and credential as of that day.", max_length=120
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "finding",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="fluid_readings",
                        to="vehicles.finding",
                    ),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="fluid_readings",
                        to="vehicles.intake",
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
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="FluidRule",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("fluid", models.CharField(max_length=20)),
                ("specification", models.CharField(blank=True, max_length=120)),
                (
                    "engine",
                    models.CharField(
                        blank=True, help_text="Running or off, when read.", max_length=10
                    ),
                ),
                (
                    "heat",
                    models.CharField(
                        blank=True, help_text="Cold or hot, when read.", max_length=10
                    ),
                ),
                (
                    "stick",
                    models.BooleanField(
                        default=True, verbose_name="it has a stick or a tank with marks"
                    ),
                ),
                (
                    "between",
                    models.CharField(blank=True, max_length=20, verbose_name="between the marks"),
                ),
                (
                    "capacity",
                    models.CharField(
                        blank=True, help_text="As typed.", max_length=20, verbose_name="in all"
                    ),
                ),
                ("source", models.CharField(max_length=120)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="fluid_rules",
                        to="vehicles.vehicle",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=("program", "vehicle", "fluid"),
                        name="fluid_rule_one_stands",
                        violation_error_message="Somebody else recorded this meanwhile.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="KeptModel",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("complaint", models.CharField(max_length=40)),
                ("number", models.PositiveIntegerField()),
                ("version", models.CharField(max_length=20)),
                ("title", models.CharField(max_length=120)),
                ("text", models.TextField()),
                ("sha256", models.CharField(max_length=64)),
                (
                    "origin",
                    models.CharField(
                        choices=[
                            ("shipped", "Shipped"),
                            ("own", "Our own"),
                            ("imported", "From another program"),
                        ],
                        max_length=10,
                    ),
                ),
                ("in_use", models.BooleanField(default=False)),
                ("because", models.CharField(blank=True, max_length=200)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "by",
                    models.ForeignKey(
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
                "verbose_name": "fault model",
                "ordering": ["complaint", "-number"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("origin__in", ["shipped", "own", "imported"])),
                        name="kept_model_origin_known",
                        violation_error_message="This origin is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "complaint", "number"),
                        name="kept_model_number_once",
                        violation_error_message="Somebody else changed this fault model meanwhile.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("in_use", True)),
                        fields=("program", "complaint"),
                        name="kept_model_one_in_use",
                        violation_error_message="One text of a fault model is in use at a time.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="TopUp",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("typed", models.CharField(max_length=20)),
                ("unit", models.CharField(max_length=10)),
                (
                    "specification",
                    models.CharField(help_text="As the bottle says.", max_length=120),
                ),
                ("opened_before", models.BooleanField(null=True)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                (
                    "by",
                    models.ForeignKey(
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
                    "reading",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="top_ups",
                        to="vehicles.fluidreading",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="TroubleCode",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("code", models.CharField(max_length=8)),
                ("storage", models.CharField(blank=True, max_length=10)),
                ("meaning", models.CharField(blank=True, max_length=200)),
                ("severity", models.CharField(blank=True, max_length=20)),
                ("source", models.CharField(blank=True, max_length=120)),
                ("seen", models.BooleanField(default=False, verbose_name="the source was read")),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
                (
                    "scan",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="codes",
                        to="vehicles.codescan",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "scan", "code", "storage"),
                        name="trouble_code_once",
                        violation_error_message="This code is in the list already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Diagnosis",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("complaint", models.CharField(max_length=40)),
                ("experience", models.JSONField(blank=True, default=dict)),
                (
                    "experience_cars",
                    models.PositiveIntegerField(default=0, verbose_name="cars behind the weights"),
                ),
                (
                    "verified",
                    models.CharField(
                        choices=[
                            ("not_yet", "Not tried yet"),
                            ("shown", "Shown"),
                            ("not_shown", "Could not be shown"),
                        ],
                        default=vehicles.diagnosis.kinds.Verified["NOT_YET"],
                        max_length=10,
                    ),
                ),
                ("verified_note", models.CharField(blank=True, max_length=300)),
                ("begun_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                (
                    "ended_how",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("concluded", "Concluded"),
                            ("not_shown", "Could not be shown"),
                            ("specialist", "Handed to a specialist"),
                            ("dropped", "Dropped"),
                        ],
                        max_length=10,
                    ),
                ),
                ("ended_because", models.CharField(blank=True, max_length=300)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "begun_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "ended_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="diagnoses",
                        to="vehicles.intake",
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
                    "model",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="diagnoses",
                        to="vehicles.keptmodel",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "diagnoses",
                "ordering": ["-begun_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("verified__in", ["not_yet", "shown", "not_shown"])),
                        name="diagnosis_verified_known",
                        violation_error_message="This verified is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=("program", "intake", "complaint"),
                        name="diagnosis_one_open",
                        violation_error_message="This complaint is being diagnosed already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("ended_at__isnull", True), ("ended_how", "")),
                            models.Q(
                                ("ended_at__isnull", False),
                                models.Q(("ended_how", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="diagnosis_end_says_how",
                        violation_error_message="A diagnosis ends in one of the known ways.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Held",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("repaired_on", models.DateField()),
                ("asked_on", models.DateField()),
                ("gone", models.BooleanField(verbose_name="the complaint is gone")),
                ("causes", models.JSONField(blank=True, default=list)),
                ("note", models.CharField(blank=True, max_length=300)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn_because", models.CharField(blank=True, max_length=200)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "diagnosis",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="held",
                        to="vehicles.diagnosis",
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
                "verbose_name_plural": "repairs that held",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("withdrawn_at__isnull", True)),
                        fields=("program", "diagnosis"),
                        name="held_said_once",
                        violation_error_message="Whether this repair held is on record already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("asked_on__gte", models.F("repaired_on"))),
                        name="held_asked_after_repair",
                        violation_error_message="Whether a repair held is asked after it was made.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Observation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("check_code", models.CharField(max_length=40, verbose_name="check")),
                ("outcome", models.CharField(blank=True, max_length=40)),
                (
                    "could_not",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="could not be done because"
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=500)),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("seen", "seen"),
                            ("asked", "household"),
                            ("codes", "trouble codes"),
                        ],
                        default=vehicles.diagnosis.kinds.Source["SEEN"],
                        max_length=10,
                    ),
                ),
                (
                    "seen_by",
                    models.CharField(
                        help_text="Name and credential as of that day.", max_length=120
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "diagnosis",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="observations",
                        to="vehicles.diagnosis",
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
                "ordering": ["at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("source__in", ["seen", "asked", "codes"])),
                        name="observation_source_known",
                        violation_error_message="This source is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("withdrawn_at__isnull", True)),
                        fields=("program", "diagnosis", "check_code"),
                        name="observation_one_stands",
                        violation_error_message="Somebody else recorded this check meanwhile.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("outcome", ""), models.Q(("could_not", ""), _negated=True)),
                            models.Q(models.Q(("outcome", ""), _negated=True), ("could_not", "")),
                            _connector="OR",
                        ),
                        name="observation_seen_or_not",
                        violation_error_message="A check shows something, or says why it was not done.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SetupMade",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("code", models.CharField(max_length=20)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
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
                    "diagnosis",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="setups",
                        to="vehicles.diagnosis",
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
                "verbose_name_plural": "setups made",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=("program", "diagnosis", "code"),
                        name="setup_made_once",
                        violation_error_message="This is set up already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Conclusion",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("fault", models.CharField(max_length=40)),
                ("title", models.CharField(max_length=120)),
                ("operation", models.CharField(blank=True, max_length=60)),
                (
                    "sureness",
                    models.CharField(
                        choices=[("confirmed", "Confirmed"), ("overruled", "Set by a person")],
                        max_length=10,
                    ),
                ),
                (
                    "permille",
                    models.PositiveSmallIntegerField(
                        verbose_name="probability then, in a thousand"
                    ),
                ),
                ("evidence", models.CharField(blank=True, max_length=500)),
                ("because", models.CharField(blank=True, max_length=300)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn_because", models.CharField(blank=True, max_length=200)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "finding",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="conclusion",
                        to="vehicles.finding",
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
                    "root",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="brought_about",
                        to="vehicles.conclusion",
                    ),
                ),
                (
                    "diagnosis",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="conclusions",
                        to="vehicles.diagnosis",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("sureness__in", ["confirmed", "overruled"])),
                        name="conclusion_sureness_known",
                        violation_error_message="This sureness is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("withdrawn_at__isnull", True)),
                        fields=("program", "diagnosis", "fault"),
                        name="conclusion_once",
                        violation_error_message="This fault is concluded already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("permille__lte", 1000)),
                        name="conclusion_permille_possible",
                        violation_error_message="A probability is 1000 in a thousand at most.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("sureness", vehicles.diagnosis.kinds.Sureness["OVERRULED"]),
                                _negated=True,
                            ),
                            models.Q(("because", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="conclusion_overruled_with_reason",
                        violation_error_message="Say why you conclude otherwise.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("root__isnull", True),
                            models.Q(("root", models.F("id")), _negated=True),
                            _connector="OR",
                        ),
                        name="conclusion_never_its_own_root",
                        violation_error_message="A fault can’t bring itself about.",
                    ),
                ],
            },
        ),
        migrations.AlterField(
            model_name="photo",
            name="about",
            field=models.CharField(
                choices=[
                    ("walk_round", "Walk-round"),
                    ("reading", "Reading"),
                    ("diagnosis", "Diagnosis"),
                    ("contents", "Contents"),
                    ("papers", "Papers"),
                    ("other", "Other"),
                ],
                max_length=12,
            ),
        ),
        migrations.AlterField(
            model_name="upload",
            name="about",
            field=models.CharField(
                choices=[
                    ("walk_round", "Walk-round"),
                    ("reading", "Reading"),
                    ("diagnosis", "Diagnosis"),
                    ("contents", "Contents"),
                    ("papers", "Papers"),
                    ("other", "Other"),
                ],
                max_length=12,
            ),
        ),
    ]
