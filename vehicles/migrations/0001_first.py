import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import vehicles.custody.conditions
import vehicles.repairs.states
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("shared", "0001_first"),
        ("shared", "__first__"),
    ]

    operations = [
        migrations.CreateModel(
            name="Bay",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=40)),
                ("has_lift", models.BooleanField(default=False)),
                ("closed_on", models.DateField(blank=True, null=True)),
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
                        name="bay_name_once",
                        violation_error_message="There is a bay of this name already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Equipment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=80)),
                ("inspected_on", models.DateField(blank=True, null=True)),
                ("due_on", models.DateField()),
                ("tagged_out", models.BooleanField(default=False)),
                (
                    "bay",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="equipment",
                        to="vehicles.bay",
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
                "verbose_name_plural": "equipment",
                "ordering": ["due_on", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("inspected_on__isnull", True),
                            ("due_on__gt", models.F("inspected_on")),
                            _connector="OR",
                        ),
                        name="equipment_due_after_inspection",
                        violation_error_message="The next inspection is due after the last one.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Intake",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("arrived_on", models.DateField()),
                ("left_on", models.DateField(blank=True, null=True)),
                ("complaint", models.TextField(help_text="In the household's own words.")),
                (
                    "odometer_mi",
                    models.PositiveIntegerField(
                        blank=True, null=True, verbose_name="odometer, miles"
                    ),
                ),
                ("miles_per_week", models.PositiveIntegerField(default=0)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "previous",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="comeback",
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
                "ordering": ["-arrived_on", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("left_on__isnull", True),
                            ("left_on__gte", models.F("arrived_on")),
                            _connector="OR",
                        ),
                        name="intake_leaves_after_arrival",
                        violation_error_message="A vehicle can't leave before it arrives.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("odometer_mi__isnull", True),
                                ("odometer_mi__lt", 1000000),
                                _connector="OR",
                            ),
                            ("miles_per_week__lte", 5000),
                        ),
                        name="intake_miles_possible",
                        violation_error_message="An odometer shows under 1,000,000 miles, a week 5,000 at most.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Estimate",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveSmallIntegerField()),
                ("mean_cents", models.BigIntegerField()),
                ("p50_cents", models.BigIntegerField()),
                ("p80_cents", models.BigIntegerField()),
                ("p80_minutes", models.PositiveIntegerField()),
                ("draws", models.PositiveIntegerField()),
                ("seed", models.BigIntegerField()),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("frozen_at", models.DateTimeField(blank=True, null=True)),
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
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="estimates",
                        to="vehicles.intake",
                    ),
                ),
            ],
            options={
                "ordering": ["intake", "-number"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "intake", "number"),
                        name="estimate_version_once",
                        violation_error_message="This version of the estimate exists already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("p50_cents__gte", 0), ("p50_cents__lte", models.F("p80_cents"))
                        ),
                        name="estimate_points_in_order",
                        violation_error_message="The 80 percent point is not below the 50 percent point.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Owner",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("title", "title"),
                            ("registration", "registration"),
                            ("lienholder", "lienholder"),
                        ],
                        max_length=15,
                    ),
                ),
                ("paper_seen_on", models.DateField()),
                ("ended_on", models.DateField(blank=True, null=True)),
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
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["title", "registration", "lienholder"])),
                        name="owner_kind_known",
                        violation_error_message="This kind is not known to the program.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Consent",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "act",
                    models.CharField(
                        choices=[
                            ("diagnose", "Diagnose"),
                            ("repair", "Repair"),
                            ("road_test", "Road test"),
                            ("store", "Store"),
                        ],
                        max_length=10,
                    ),
                ),
                ("given_on", models.DateField()),
                ("until_on", models.DateField(blank=True, null=True)),
                ("withdrawn_on", models.DateField(blank=True, null=True)),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="consents",
                        to="vehicles.intake",
                    ),
                ),
                (
                    "owner",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="consents",
                        to="vehicles.owner",
                    ),
                ),
            ],
            options={
                "ordering": ["given_on", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("act__in", ["diagnose", "repair", "road_test", "store"])
                        ),
                        name="consent_act_known",
                        violation_error_message="This act is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("withdrawn_on__isnull", True)),
                        fields=("program", "intake", "owner", "act"),
                        name="consent_once",
                        violation_error_message="This consent is on record already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("until_on__isnull", True),
                            ("until_on__gte", models.F("given_on")),
                            _connector="OR",
                        ),
                        name="consent_dates_in_order",
                        violation_error_message="A consent can't end before it is given.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Prerequisite",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
        ),
        migrations.CreateModel(
            name="Reading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "system",
                    models.CharField(
                        choices=[
                            ("brakes", "Brakes"),
                            ("steering", "Steering"),
                            ("suspension", "Suspension"),
                            ("tires", "Tires"),
                            ("wheels", "Wheels"),
                            ("lights", "Lights"),
                            ("glass", "Glass and wipers"),
                            ("restraint", "Belts and airbags"),
                            ("body", "Body"),
                            ("exhaust", "Exhaust"),
                            ("fuel", "Fuel"),
                            ("engine", "Engine"),
                            ("cooling", "Cooling"),
                            ("transmission", "Transmission"),
                            ("battery", "Battery"),
                            ("charging", "Charging"),
                            ("electrical", "Electrical"),
                            ("heating", "Heating and air conditioning"),
                            ("emissions", "Emissions"),
                            ("fluids", "Fluids"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "deficiency",
                    models.CharField(
                        choices=[
                            ("dangerous", "Dangerous"),
                            ("major", "Major"),
                            ("minor", "Minor"),
                            ("none", "None"),
                        ],
                        max_length=10,
                    ),
                ),
                ("severity", models.PositiveSmallIntegerField(default=4)),
                ("never_release", models.BooleanField(default=False)),
                ("strands", models.BooleanField(default=False)),
                ("us_reject", models.BooleanField(default=False)),
                ("reason_key", models.CharField(blank=True, max_length=40)),
                ("sentence", models.CharField(max_length=300)),
                ("source", models.CharField(blank=True, max_length=200)),
                ("text_seen", models.BooleanField(default=False)),
                ("criterion", models.CharField(max_length=40)),
                ("position", models.CharField(blank=True, max_length=20)),
                ("typed", models.CharField(max_length=40)),
                ("unit", models.CharField(blank=True, max_length=20)),
                ("limit", models.CharField(blank=True, max_length=80)),
                ("catalogue_version", models.CharField(max_length=20)),
                ("read_on", models.DateField()),
                (
                    "read_by",
                    models.CharField(
                        help_text="Name and credential as of that day.", max_length=120
                    ),
                ),
                ("recorded_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("replaced_at", models.DateTimeField(blank=True, null=True)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="readings",
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
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("deficiency__in", ["dangerous", "major", "minor", "none"])
                        ),
                        name="reading_class_known",
                        violation_error_message="This deficiency is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("severity__in", range(1, 5))),
                        name="reading_severity_known",
                        violation_error_message="Severity is 1, 2, 3 or 4.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("replaced_at__isnull", True)),
                        fields=("program", "intake", "criterion", "position"),
                        name="reading_one_stands",
                        violation_error_message="Somebody else recorded this point meanwhile.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Finding",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "system",
                    models.CharField(
                        choices=[
                            ("brakes", "Brakes"),
                            ("steering", "Steering"),
                            ("suspension", "Suspension"),
                            ("tires", "Tires"),
                            ("wheels", "Wheels"),
                            ("lights", "Lights"),
                            ("glass", "Glass and wipers"),
                            ("restraint", "Belts and airbags"),
                            ("body", "Body"),
                            ("exhaust", "Exhaust"),
                            ("fuel", "Fuel"),
                            ("engine", "Engine"),
                            ("cooling", "Cooling"),
                            ("transmission", "Transmission"),
                            ("battery", "Battery"),
                            ("charging", "Charging"),
                            ("electrical", "Electrical"),
                            ("heating", "Heating and air conditioning"),
                            ("emissions", "Emissions"),
                            ("fluids", "Fluids"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "deficiency",
                    models.CharField(
                        choices=[
                            ("dangerous", "Dangerous"),
                            ("major", "Major"),
                            ("minor", "Minor"),
                            ("none", "None"),
                        ],
                        max_length=10,
                    ),
                ),
                ("severity", models.PositiveSmallIntegerField(default=4)),
                ("never_release", models.BooleanField(default=False)),
                ("strands", models.BooleanField(default=False)),
                ("us_reject", models.BooleanField(default=False)),
                ("reason_key", models.CharField(blank=True, max_length=40)),
                ("sentence", models.CharField(max_length=300)),
                ("source", models.CharField(blank=True, max_length=200)),
                ("text_seen", models.BooleanField(default=False)),
                ("title", models.CharField(max_length=120)),
                ("evidence", models.CharField(blank=True, max_length=300)),
                ("code_severity", models.CharField(default="none", max_length=20)),
                ("found_on", models.DateField()),
                ("found_by", models.CharField(max_length=120)),
                ("cleared_on", models.DateField(blank=True, null=True)),
                ("withdrawn_because", models.CharField(blank=True, max_length=200)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "caused_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="caused",
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
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="findings",
                        to="vehicles.intake",
                    ),
                ),
                (
                    "reading",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="finding",
                        to="vehicles.reading",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("deficiency__in", ["dangerous", "major", "minor", "none"])
                        ),
                        name="finding_class_known",
                        violation_error_message="This deficiency is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("severity__in", range(1, 5))),
                        name="finding_severity_known",
                        violation_error_message="Severity is 1, 2, 3 or 4.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("caused_by", models.F("id")), _negated=True),
                        name="finding_never_its_own_cause",
                        violation_error_message="A finding can't be its own cause.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="RepairItem",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                (
                    "system",
                    models.CharField(
                        choices=[
                            ("brakes", "Brakes"),
                            ("steering", "Steering"),
                            ("suspension", "Suspension"),
                            ("tires", "Tires"),
                            ("wheels", "Wheels"),
                            ("lights", "Lights"),
                            ("glass", "Glass and wipers"),
                            ("restraint", "Belts and airbags"),
                            ("body", "Body"),
                            ("exhaust", "Exhaust"),
                            ("fuel", "Fuel"),
                            ("engine", "Engine"),
                            ("cooling", "Cooling"),
                            ("transmission", "Transmission"),
                            ("battery", "Battery"),
                            ("charging", "Charging"),
                            ("electrical", "Electrical"),
                            ("heating", "Heating and air conditioning"),
                            ("emissions", "Emissions"),
                            ("fluids", "Fluids"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[("open", "open"), ("done", "done"), ("withdrawn", "withdrawn")],
                        default=vehicles.repairs.states.ItemState["OPEN"],
                        max_length=10,
                    ),
                ),
                ("labor_low_minutes", models.PositiveIntegerField()),
                ("labor_likely_minutes", models.PositiveIntegerField()),
                ("labor_high_minutes", models.PositiveIntegerField()),
                (
                    "sublet_cents",
                    models.BigIntegerField(default=0, verbose_name="work done elsewhere"),
                ),
                ("needs_lift", models.BooleanField(default=False)),
                ("caution", models.CharField(blank=True, max_length=300)),
                ("cell", models.CharField(blank=True, max_length=2, verbose_name="hazard cell")),
                ("tier", models.PositiveSmallIntegerField(default=4)),
                ("points", models.PositiveIntegerField(default=0)),
                ("index_tenths", models.PositiveIntegerField(default=0)),
                ("tier_because", models.CharField(blank=True, max_length=200)),
                ("net_cost_cents", models.BigIntegerField(default=0)),
                ("done_on", models.DateField(blank=True, null=True)),
                ("withdrawn_because", models.CharField(blank=True, max_length=200)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "findings",
                    models.ManyToManyField(blank=True, related_name="items", to="vehicles.finding"),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="items",
                        to="vehicles.intake",
                    ),
                ),
                (
                    "prerequisites",
                    models.ManyToManyField(
                        related_name="unlocks",
                        through="vehicles.Prerequisite",
                        to="vehicles.repairitem",
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
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["open", "done", "withdrawn"])),
                        name="item_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "system__in",
                                [
                                    "brakes",
                                    "steering",
                                    "suspension",
                                    "tires",
                                    "wheels",
                                    "lights",
                                    "glass",
                                    "restraint",
                                    "body",
                                    "exhaust",
                                    "fuel",
                                    "engine",
                                    "cooling",
                                    "transmission",
                                    "battery",
                                    "charging",
                                    "electrical",
                                    "heating",
                                    "emissions",
                                    "fluids",
                                ],
                            )
                        ),
                        name="item_system_known",
                        violation_error_message="This system is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("labor_low_minutes__lte", models.F("labor_likely_minutes")),
                            ("labor_likely_minutes__lte", models.F("labor_high_minutes")),
                            ("labor_high_minutes__lte", 60000),
                        ),
                        name="item_minutes_in_order",
                        violation_error_message="Minutes go from low over likely to high, 60,000 at most.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("sublet_cents__gte", 0), ("net_cost_cents__gte", 0)),
                        name="item_costs_not_negative",
                        violation_error_message="A cost can't be negative.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("tier__range", (0, 4))),
                        name="item_tier_known",
                        violation_error_message="Tiers go from 0 to 4.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("state", vehicles.repairs.states.ItemState["DONE"]), _negated=True
                            ),
                            ("done_on__isnull", False),
                            _connector="OR",
                        ),
                        name="item_done_has_day",
                        violation_error_message="A done item has the day it was done.",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="prerequisite",
            name="first",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="comes_before",
                to="vehicles.repairitem",
            ),
        ),
        migrations.AddField(
            model_name="prerequisite",
            name="item",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="needs_first",
                to="vehicles.repairitem",
            ),
        ),
        migrations.CreateModel(
            name="Need",
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
                        help_text="Code of the part, such as `radiator`.",
                        max_length=40,
                        verbose_name="part",
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                (
                    "system",
                    models.CharField(
                        choices=[
                            ("brakes", "Brakes"),
                            ("steering", "Steering"),
                            ("suspension", "Suspension"),
                            ("tires", "Tires"),
                            ("wheels", "Wheels"),
                            ("lights", "Lights"),
                            ("glass", "Glass and wipers"),
                            ("restraint", "Belts and airbags"),
                            ("body", "Body"),
                            ("exhaust", "Exhaust"),
                            ("fuel", "Fuel"),
                            ("engine", "Engine"),
                            ("cooling", "Cooling"),
                            ("transmission", "Transmission"),
                            ("battery", "Battery"),
                            ("charging", "Charging"),
                            ("electrical", "Electrical"),
                            ("heating", "Heating and air conditioning"),
                            ("emissions", "Emissions"),
                            ("fluids", "Fluids"),
                        ],
                        max_length=20,
                    ),
                ),
                ("quantity", models.PositiveSmallIntegerField(default=1)),
                ("fitment", models.JSONField(blank=True, default=dict)),
                ("car", models.JSONField(blank=True, default=dict)),
                (
                    "price_cents",
                    models.BigIntegerField(
                        blank=True, help_text="Empty: can't be bought.", null=True
                    ),
                ),
                ("price_low_cents", models.BigIntegerField(blank=True, null=True)),
                ("price_high_cents", models.BigIntegerField(blank=True, null=True)),
                ("price_source", models.CharField(blank=True, max_length=80)),
                (
                    "approved_text",
                    models.CharField(blank=True, max_length=200, verbose_name="text for sponsors"),
                ),
                ("county", models.CharField(blank=True, max_length=40)),
                ("household_kinds", models.JSONField(blank=True, default=list)),
                ("tier", models.PositiveSmallIntegerField(default=4)),
                ("opened_on", models.DateField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("open", "open"),
                            ("filled", "filled"),
                            ("withdrawn", "withdrawn"),
                        ],
                        default=vehicles.repairs.states.NeedState["OPEN"],
                        max_length=10,
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="needs",
                        to="vehicles.repairitem",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["open", "filled", "withdrawn"])),
                        name="need_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("quantity__gt", 0)),
                        name="need_quantity_above_zero",
                        violation_error_message="The quantity of a need must be more than zero.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("price_cents__isnull", True),
                            models.Q(
                                ("price_cents__gte", 0),
                                models.Q(
                                    ("price_low_cents__isnull", True),
                                    ("price_low_cents__lte", models.F("price_cents")),
                                    _connector="OR",
                                ),
                                models.Q(
                                    ("price_high_cents__isnull", True),
                                    ("price_high_cents__gte", models.F("price_cents")),
                                    _connector="OR",
                                ),
                            ),
                            _connector="OR",
                        ),
                        name="need_prices_in_order",
                        violation_error_message="Prices go from low over likely to high, none below zero.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="EstimateLine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("low_cents", models.BigIntegerField()),
                ("likely_cents", models.BigIntegerField()),
                ("high_cents", models.BigIntegerField()),
                (
                    "p80_cents",
                    models.BigIntegerField(help_text="Its share of the 80 percent point."),
                ),
                (
                    "estimate",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lines",
                        to="vehicles.estimate",
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
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.repairitem",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "estimate", "item"),
                        name="estimate_line_once",
                        violation_error_message="This item is in the estimate already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("low_cents__gte", 0),
                            ("low_cents__lte", models.F("likely_cents")),
                            ("likely_cents__lte", models.F("high_cents")),
                        ),
                        name="estimate_line_in_order",
                        violation_error_message="Costs go from low over likely to high.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Vehicle",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("vin", models.CharField(blank=True, max_length=17, verbose_name="VIN")),
                (
                    "vin_note",
                    models.CharField(
                        blank=True, help_text="Why an unusual VIN is right.", max_length=120
                    ),
                ),
                (
                    "year",
                    models.PositiveSmallIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1950),
                            django.core.validators.MaxValueValidator(2040),
                        ],
                        verbose_name="model year",
                    ),
                ),
                ("make", models.CharField(max_length=40)),
                ("model", models.CharField(max_length=40)),
                ("engine", models.CharField(blank=True, max_length=40)),
                ("transmission", models.CharField(blank=True, max_length=20)),
                ("tire_size", models.CharField(blank=True, max_length=20)),
                ("plate", models.CharField(blank=True, max_length=12)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
                (
                    "withheld_from",
                    models.ManyToManyField(
                        blank=True, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("vin", ""), _negated=True),
                        fields=("program", "vin"),
                        name="vehicle_vin_once",
                        violation_error_message="A vehicle with this VIN is here already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("year__range", (1950, 2040))),
                        name="vehicle_year_possible",
                        violation_error_message="A model year lies between 1950 and 2040.",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="owner",
            name="vehicle",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="owners",
                to="vehicles.vehicle",
            ),
        ),
        migrations.AddField(
            model_name="intake",
            name="vehicle",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="intakes",
                to="vehicles.vehicle",
            ),
        ),
        migrations.CreateModel(
            name="Condition",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "step",
                    models.CharField(
                        choices=[
                            ("expected", "Expected"),
                            ("on_lot", "On the lot"),
                            ("assessment", "In assessment"),
                            ("awaiting_parts", "Awaiting parts"),
                            ("repair", "In repair"),
                            ("sublet", "At another shop"),
                            ("final_inspection", "Final inspection"),
                            ("handed_back", "Handed back"),
                            ("returned_unrepaired", "Returned unrepaired"),
                            ("scrapped", "Scrapped"),
                            ("abandoned", "Abandoned"),
                        ],
                        default=vehicles.custody.conditions.Step["EXPECTED"],
                        max_length=20,
                    ),
                ),
                (
                    "mobility",
                    models.CharField(
                        choices=[
                            ("drives", "Drives"),
                            ("rolls", "Rolls, does not drive"),
                            ("dead", "Neither drives nor rolls"),
                        ],
                        default=vehicles.custody.conditions.Mobility["DRIVES"],
                        max_length=10,
                    ),
                ),
                (
                    "place",
                    models.CharField(
                        blank=True, help_text="A bay, a space or an address.", max_length=40
                    ),
                ),
                ("since_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("version", models.PositiveIntegerField(default=1)),
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
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="condition",
                        to="vehicles.vehicle",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "step__in",
                                [
                                    "expected",
                                    "on_lot",
                                    "assessment",
                                    "awaiting_parts",
                                    "repair",
                                    "sublet",
                                    "final_inspection",
                                    "handed_back",
                                    "returned_unrepaired",
                                    "scrapped",
                                    "abandoned",
                                ],
                            )
                        ),
                        name="condition_step_known",
                        violation_error_message="This step is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("mobility__in", ["drives", "rolls", "dead"])),
                        name="condition_mobility_known",
                        violation_error_message="This mobility is not known to the program.",
                    ),
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="prerequisite",
            constraint=models.UniqueConstraint(
                fields=("program", "item", "first"),
                name="prerequisite_once",
                violation_error_message="This order is on record already.",
            ),
        ),
        migrations.AddConstraint(
            model_name="prerequisite",
            constraint=models.CheckConstraint(
                condition=models.Q(("item", models.F("first")), _negated=True),
                name="prerequisite_of_another",
                violation_error_message="A repair item can't need itself.",
            ),
        ),
        migrations.AddConstraint(
            model_name="owner",
            constraint=models.UniqueConstraint(
                condition=models.Q(("ended_on__isnull", True)),
                fields=("program", "vehicle", "name", "kind"),
                name="owner_named_once",
                violation_error_message="This owner is on record already.",
            ),
        ),
        migrations.AddConstraint(
            model_name="intake",
            constraint=models.UniqueConstraint(
                condition=models.Q(("left_on__isnull", True)),
                fields=("program", "vehicle"),
                name="intake_one_open_stay",
                violation_error_message="This vehicle is here already; end its open stay first.",
            ),
        ),
    ]
