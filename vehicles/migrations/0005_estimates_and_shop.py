import django.db.models.deletion
import django.utils.timezone
import vehicles.shop.kinds
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shared", "0003_progress_and_shifts"),
        ("shared", "__first__"),
        ("vehicles", "0004_diagnosis"),
    ]

    operations = [
        migrations.CreateModel(
            name="BayClosure",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("from_on", models.DateField()),
                ("until_on", models.DateField()),
                ("reason", models.CharField(max_length=120)),
                (
                    "ended_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="taken back"),
                ),
                (
                    "bay",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="closures",
                        to="vehicles.bay",
                    ),
                ),
                (
                    "made_by",
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
                "ordering": ["from_on", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("until_on__gte", models.F("from_on"))),
                        name="closure_days_in_order",
                        violation_error_message="The last day closed is not before the first.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="EquipmentInspection",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField()),
                ("by_name", models.CharField(max_length=120, verbose_name="inspected by")),
                ("passed", models.BooleanField(default=True)),
                ("next_due_on", models.DateField(blank=True, null=True)),
                (
                    "paper",
                    models.CharField(
                        blank=True, max_length=80, verbose_name="certificate or invoice number"
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("recorded_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("client_key", models.UUIDField(blank=True, null=True)),
                (
                    "equipment",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="inspections",
                        to="vehicles.equipment",
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
                    "recorded_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-on", "-pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "client_key"),
                        name="inspection_of_equipment_once",
                        violation_error_message="This inspection is on record already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("next_due_on__isnull", True),
                            ("next_due_on__gt", models.F("on")),
                            _connector="OR",
                        ),
                        name="inspection_of_equipment_due_later",
                        violation_error_message="The next inspection is due after this one.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Quote",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("supplier", models.CharField(max_length=80)),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("written", "In writing"),
                            ("counter", "At the counter"),
                            ("phone", "On the phone"),
                            ("price_list", "Price list"),
                            ("bought_before", "Bought before"),
                            ("guess", "Guess"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "condition",
                    models.CharField(
                        choices=[("new", "new"), ("rebuilt", "rebuilt"), ("used", "used")],
                        default="new",
                        max_length=8,
                    ),
                ),
                ("cents", models.BigIntegerField()),
                (
                    "core_cents",
                    models.BigIntegerField(default=0, verbose_name="deposit on the old part"),
                ),
                ("quoted_on", models.DateField()),
                ("good_until_on", models.DateField(blank=True, null=True)),
                (
                    "lead_days",
                    models.PositiveSmallIntegerField(
                        default=0, verbose_name="business days until it is there"
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("paper", models.BinaryField(blank=True, null=True)),
                ("paper_type", models.CharField(blank=True, max_length=20)),
                ("chosen_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn_because", models.CharField(blank=True, max_length=200)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("client_key", models.UUIDField(blank=True, null=True)),
                (
                    "chosen_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="quotes",
                        to="vehicles.repairitem",
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "need",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="quotes",
                        to="vehicles.need",
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
                "ordering": ["cents", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "source__in",
                                [
                                    "written",
                                    "counter",
                                    "phone",
                                    "price_list",
                                    "bought_before",
                                    "guess",
                                ],
                            )
                        ),
                        name="quote_source_known",
                        violation_error_message="This source is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("condition__in", ["new", "rebuilt", "used"])),
                        name="quote_condition_known",
                        violation_error_message="This condition is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("item__isnull", False), ("need__isnull", True)),
                            models.Q(("item__isnull", True), ("need__isnull", False)),
                            _connector="OR",
                        ),
                        name="quote_for_need_or_item",
                        violation_error_message="A quote is for a part or for work done elsewhere.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cents__gte", 0), ("core_cents__gte", 0)),
                        name="quote_cents_not_negative",
                        violation_error_message="A price can't be negative.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("good_until_on__isnull", True),
                            ("good_until_on__gte", models.F("quoted_on")),
                            _connector="OR",
                        ),
                        name="quote_days_in_order",
                        violation_error_message="A quote can't run out before it was given.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("paper__isnull", True), ("paper_type", "")),
                            models.Q(
                                ("paper__isnull", False),
                                models.Q(("paper_type", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="quote_paper_has_type",
                        violation_error_message="An attached paper is a PDF or a picture.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("chosen_at__isnull", False)),
                        fields=("program", "need"),
                        name="quote_one_chosen_a_need",
                        violation_error_message="Another price is chosen for this part.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("chosen_at__isnull", False)),
                        fields=("program", "item"),
                        name="quote_one_chosen_an_item",
                        violation_error_message="Another price is chosen for this work.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "client_key"),
                        name="quote_written_once",
                        violation_error_message="This quote is on record already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Space",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=40)),
                (
                    "takes_dead",
                    models.BooleanField(
                        default=False, verbose_name="a car that doesn't roll may stand here"
                    ),
                ),
                ("indoors", models.BooleanField(default=False)),
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
                "ordering": ["name", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "name"),
                        name="space_name_once",
                        violation_error_message="There is a space of this name already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="WheelTorque",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("foot_pounds", models.PositiveSmallIntegerField()),
                (
                    "pattern",
                    models.CharField(default="LF RF LR RR", max_length=20, verbose_name="wheels"),
                ),
                ("odometer_mi", models.PositiveIntegerField(blank=True, null=True)),
                (
                    "is_again",
                    models.BooleanField(
                        default=False, verbose_name="the second time, after driving"
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("wrench_due_on", models.DateField(help_text="As the wrench stood that day.")),
                ("counts", models.BooleanField(default=True)),
                ("because", models.CharField(blank=True, max_length=200)),
                ("voided_because", models.CharField(blank=True, max_length=200)),
                ("client_key", models.UUIDField(blank=True, null=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="torques",
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
                    "wrench",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="torques",
                        to="vehicles.equipment",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("foot_pounds__gt", 0)),
                        name="torque_above_zero",
                        violation_error_message="A torque must be more than zero.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "client_key"),
                        name="torque_written_once",
                        violation_error_message="This is on record already.",
                    ),
                ],
            },
        ),
        migrations.RemoveConstraint(
            model_name="repairitem",
            name="item_costs_not_negative",
        ),
        migrations.AddField(
            model_name="bay",
            name="version",
            field=models.PositiveIntegerField(default=1),
        ),
        migrations.AddField(
            model_name="equipment",
            name="interval_months",
            field=models.PositiveSmallIntegerField(default=12),
        ),
        migrations.AddField(
            model_name="equipment",
            name="kind",
            field=models.CharField(
                choices=[
                    ("lift", "Lift"),
                    ("jack", "Jack"),
                    ("stands", "Stands"),
                    ("torque_wrench", "Torque wrench"),
                    ("gloves", "High-voltage gloves"),
                    ("gas_alarm", "Carbon monoxide alarm"),
                    ("extinguisher", "Fire extinguisher"),
                    ("refrigerant", "Refrigerant machine"),
                    ("other", "Other"),
                ],
                default=vehicles.shop.kinds.EquipmentKind["OTHER"],
                max_length=16,
            ),
        ),
        migrations.AddField(
            model_name="equipment",
            name="retired_on",
            field=models.DateField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="equipment",
            name="tagged_out_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="equipment",
            name="tagged_out_because",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="equipment",
            name="tagged_out_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="equipment",
            name="version",
            field=models.PositiveIntegerField(default=1),
        ),
        migrations.AddField(
            model_name="need",
            name="may_be",
            field=models.JSONField(
                blank=True,
                default=list,
                help_text="Conditions taken beside new.",
                verbose_name="used or rebuilt",
            ),
        ),
        migrations.AddField(
            model_name="need",
            name="needed_by_on",
            field=models.DateField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="need",
            name="priced_on",
            field=models.DateField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="repairitem",
            name="access",
            field=models.CharField(
                blank=True,
                help_text="What has to come off first; jobs that share it do.",
                max_length=30,
            ),
        ),
        migrations.AddField(
            model_name="repairitem",
            name="access_minutes",
            field=models.PositiveIntegerField(
                default=0, verbose_name="of the labor, for the access"
            ),
        ),
        migrations.AddField(
            model_name="repairitem",
            name="cost_cents",
            field=models.BigIntegerField(
                blank=True, null=True, verbose_name="paid for parts and outside"
            ),
        ),
        migrations.AddField(
            model_name="repairitem",
            name="outside_days",
            field=models.PositiveSmallIntegerField(default=0, verbose_name="business days away"),
        ),
        migrations.AddField(
            model_name="repairitem",
            name="rest_minutes",
            field=models.PositiveIntegerField(default=0, verbose_name="curing or drying after it"),
        ),
        migrations.AddField(
            model_name="repairitem",
            name="took_minutes",
            field=models.PositiveIntegerField(blank=True, null=True),
        ),
        migrations.AddConstraint(
            model_name="equipment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "kind__in",
                        [
                            "lift",
                            "jack",
                            "stands",
                            "torque_wrench",
                            "gloves",
                            "gas_alarm",
                            "extinguisher",
                            "refrigerant",
                            "other",
                        ],
                    )
                ),
                name="equipment_kind_known",
                violation_error_message="This kind is not known to the program.",
            ),
        ),
        migrations.AddConstraint(
            model_name="equipment",
            constraint=models.CheckConstraint(
                condition=models.Q(("interval_months__range", (1, 120))),
                name="equipment_interval_possible",
                violation_error_message="Inspections are 1 to 120 months apart.",
            ),
        ),
        migrations.AddConstraint(
            model_name="repairitem",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("sublet_cents__gte", 0),
                    ("net_cost_cents__gte", 0),
                    models.Q(("cost_cents__isnull", True), ("cost_cents__gte", 0), _connector="OR"),
                ),
                name="item_costs_not_negative",
                violation_error_message="A cost can't be negative.",
            ),
        ),
        migrations.AddConstraint(
            model_name="repairitem",
            constraint=models.CheckConstraint(
                condition=models.Q(("access_minutes__lte", models.F("labor_low_minutes"))),
                name="item_access_within_labor",
                violation_error_message="The access is part of the labor, at its least.",
            ),
        ),
    ]
