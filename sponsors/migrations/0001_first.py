import django.db.models.deletion
import django.utils.timezone
import sponsors.appeals.states
import sponsors.pledges.states
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
            name="Lot",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("code", models.CharField(max_length=40)),
                ("received_on", models.DateField()),
                ("held_on", models.DateField(blank=True, null=True)),
                ("held_because", models.CharField(blank=True, max_length=200)),
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
                    models.UniqueConstraint(
                        fields=("program", "code"),
                        name="lot_code_once",
                        violation_error_message="There is a lot of this code already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Sponsor",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("town", models.CharField(blank=True, max_length=80)),
                ("contact_name", models.CharField(blank=True, max_length=120)),
                ("ask_every_days", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("last_asked_on", models.DateField(blank=True, null=True)),
                ("since_on", models.DateField()),
                ("ended_on", models.DateField(blank=True, null=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "address",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.address",
                    ),
                ),
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
                    "stop_link",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.accesslink",
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "name"),
                        name="sponsor_name_once",
                        violation_error_message="There is a sponsor of this name already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("ended_on__isnull", True),
                            ("ended_on__gte", models.F("since_on")),
                            _connector="OR",
                        ),
                        name="sponsor_dates_in_order",
                        violation_error_message="A sponsor can't end before the day they began.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Pledge",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("kind", models.CharField(max_length=40, verbose_name="part")),
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
                ("fitment", models.JSONField(blank=True, default=dict)),
                ("used", models.BooleanField(default=False)),
                ("quantity", models.PositiveSmallIntegerField()),
                ("pledged_on", models.DateField()),
                ("expires_on", models.DateField(blank=True, null=True)),
                ("counties", models.JSONField(blank=True, default=list)),
                ("household_kinds", models.JSONField(blank=True, default=list)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("intended", "intended"),
                            ("arrived", "arrived"),
                            ("taken_back", "taken back"),
                            ("expired", "expired"),
                        ],
                        default=sponsors.pledges.states.PledgeState["INTENDED"],
                        max_length=12,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("client_key", models.UUIDField(blank=True, null=True, unique=True)),
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
                    "sponsor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="pledges",
                        to="sponsors.sponsor",
                    ),
                ),
            ],
            options={
                "ordering": ["-pledged_on", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["intended", "arrived", "taken_back", "expired"])
                        ),
                        name="pledge_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("quantity__gt", 0)),
                        name="pledge_quantity_above_zero",
                        violation_error_message="The quantity of a pledge must be more than zero.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("expires_on__isnull", True),
                            ("expires_on__gte", models.F("pledged_on")),
                            _connector="OR",
                        ),
                        name="pledge_dates_in_order",
                        violation_error_message="A pledge can't expire before it is made.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Gives",
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
                ("part_kind", models.CharField(blank=True, max_length=40)),
                (
                    "program",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
                (
                    "sponsor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="gives",
                        to="sponsors.sponsor",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "gives",
                "constraints": [
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
                        name="gives_system_known",
                        violation_error_message="This system is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "sponsor", "system", "part_kind"),
                        name="gives_once",
                        violation_error_message="This is on the sponsor's list already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Contact",
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
                (
                    "user",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "sponsor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="contacts",
                        to="sponsors.sponsor",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Appeal",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("round", models.CharField(help_text="Such as `2026-W48`.", max_length=20)),
                ("subject", models.CharField(max_length=200)),
                ("text", models.TextField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("drafted", "drafted"),
                            ("approved", "approved"),
                            ("sent", "sent"),
                            ("dropped", "dropped"),
                        ],
                        default=sponsors.appeals.states.AppealState["DRAFTED"],
                        max_length=10,
                    ),
                ),
                ("drafted_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("decided_at", models.DateTimeField(blank=True, null=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "decided_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "message",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.message",
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
                    "sponsor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="appeals",
                        to="sponsors.sponsor",
                    ),
                ),
            ],
            options={
                "ordering": ["-drafted_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["drafted", "approved", "sent", "dropped"])
                        ),
                        name="appeal_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "sponsor", "round"),
                        name="appeal_once_a_round",
                        violation_error_message="This sponsor has an appeal in this round already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state", sponsors.appeals.states.AppealState["DRAFTED"]),
                            ("decided_at__isnull", False),
                            _connector="OR",
                        ),
                        name="appeal_sent_after_decision",
                        violation_error_message="A person approves an appeal before it is sent.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Supply",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("kind", models.CharField(max_length=40, verbose_name="part")),
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
                ("fitment", models.JSONField(blank=True, default=dict)),
                ("used", models.BooleanField(default=False)),
                (
                    "source",
                    models.CharField(
                        choices=[("pledge", "pledge"), ("order", "order"), ("shelf", "shelf")],
                        max_length=10,
                    ),
                ),
                (
                    "number",
                    models.PositiveSmallIntegerField(
                        default=1, help_text="Which unit of its pledge."
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("pledged", "Pledged"),
                            ("on_order", "On order"),
                            ("on_shelf", "On shelf"),
                            ("fitted", "Fitted"),
                            ("gone", "Gone"),
                        ],
                        max_length=10,
                    ),
                ),
                ("expires_on", models.DateField(blank=True, null=True)),
                (
                    "available_on",
                    models.DateField(blank=True, help_text="Empty: at once.", null=True),
                ),
                ("since_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "lot",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="units",
                        to="sponsors.lot",
                    ),
                ),
                (
                    "pledge",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="units",
                        to="sponsors.pledge",
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
                "verbose_name_plural": "supplies",
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("source__in", ["pledge", "order", "shelf"])),
                        name="supply_source_known",
                        violation_error_message="This source is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["pledged", "on_order", "on_shelf", "fitted", "gone"])
                        ),
                        name="supply_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("source", sponsors.pledges.states.SupplySource["PLEDGE"]),
                                ("pledge__isnull", False),
                            ),
                            models.Q(
                                models.Q(
                                    ("source", sponsors.pledges.states.SupplySource["PLEDGE"]),
                                    _negated=True,
                                ),
                                ("pledge__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="supply_pledge_matches_source",
                        violation_error_message="A pledged unit belongs to a pledge, any other to none.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("pledge__isnull", False)),
                        fields=("program", "pledge", "number"),
                        name="supply_unit_once",
                        violation_error_message="This unit of the pledge is on record already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Reservation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "made_for",
                    models.CharField(help_text="Such as `plan:5` or `matching`.", max_length=40),
                ),
                ("because", models.CharField(max_length=300)),
                ("confirmed_at", models.DateTimeField(blank=True, null=True)),
                ("freed_at", models.DateTimeField(blank=True, null=True)),
                ("freed_because", models.CharField(blank=True, max_length=200)),
                (
                    "need",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
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
                (
                    "supply",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
                        to="sponsors.supply",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("freed_at__isnull", True)),
                        fields=("program", "supply"),
                        name="reservation_one_need_a_unit",
                        violation_error_message="This unit is kept for another need already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="AppealLine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("position", models.PositiveSmallIntegerField()),
                ("frees_cars", models.PositiveSmallIntegerField(default=0)),
                (
                    "appeal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lines",
                        to="sponsors.appeal",
                    ),
                ),
                (
                    "need",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
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
                "ordering": ["position", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "appeal", "need"),
                        name="appeal_need_once",
                        violation_error_message="This need is in the appeal already.",
                    )
                ],
            },
        ),
    ]
