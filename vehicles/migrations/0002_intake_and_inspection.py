import django.db.models.deletion
import django.utils.timezone
import vehicles.custody.kinds
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shared", "0002_papers_of_people"),
        ("shared", "__first__"),
        ("vehicles", "0001_first"),
    ]

    operations = [
        migrations.CreateModel(
            name="Content",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_key", models.UUIDField(unique=True)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("child_seat", "Child seat"),
                            ("medicine", "Medicine"),
                            ("papers", "Papers"),
                            ("work_tools", "Tools for work"),
                            ("mobility_aid", "Mobility aid"),
                            ("other", "Something else"),
                            ("weapon", "Weapon"),
                            ("biohazard", "Needles or other biohazard"),
                        ],
                        max_length=15,
                    ),
                ),
                ("what", models.CharField(max_length=120)),
                ("where", models.CharField(blank=True, max_length=60)),
                ("listed_on", models.DateField()),
                ("returned_on", models.DateField(blank=True, null=True)),
                ("returned_to", models.CharField(blank=True, max_length=120)),
                ("decided_because", models.CharField(blank=True, max_length=200)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
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
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="contents",
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
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "kind__in",
                                [
                                    "child_seat",
                                    "medicine",
                                    "papers",
                                    "work_tools",
                                    "mobility_aid",
                                    "other",
                                    "weapon",
                                    "biohazard",
                                ],
                            )
                        ),
                        name="content_kind_known",
                        violation_error_message="This kind is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("returned_on__isnull", True),
                            models.Q(("returned_to", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="content_returned_to_somebody",
                        violation_error_message="Say who took it back.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Inspection",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "depth",
                    models.CharField(
                        choices=[
                            ("look", "20-minute look"),
                            ("full", "Full sheet"),
                            ("final", "Final sheet"),
                        ],
                        max_length=5,
                    ),
                ),
                ("begun_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "odometer_mi",
                    models.PositiveIntegerField(
                        blank=True, null=True, verbose_name="odometer, miles"
                    ),
                ),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                (
                    "unread",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="points left unread"
                    ),
                ),
                ("stopped_because", models.CharField(blank=True, max_length=300)),
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
                    "hands",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="in whose hands",
                    ),
                ),
                (
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="inspections",
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
                "ordering": ["begun_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("depth__in", ["look", "full", "final"])),
                        name="inspection_depth_known",
                        violation_error_message="This depth is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=("program", "intake", "depth"),
                        name="inspection_one_open",
                        violation_error_message="This sheet is open already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="KeyTag",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("tag", models.CharField(max_length=10)),
                ("keys", models.PositiveSmallIntegerField(default=1)),
                ("wheel_lock_key", models.BooleanField(blank=True, null=True)),
                (
                    "radio_code",
                    models.BooleanField(
                        blank=True, null=True, verbose_name="radio asks for a code"
                    ),
                ),
                ("holder", models.CharField(max_length=120, verbose_name="where the keys are")),
                ("returned_on", models.DateField(blank=True, null=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "intake",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="key_tag",
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
                "ordering": ["tag"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("returned_on__isnull", True)),
                        fields=("program", "tag"),
                        name="key_tag_on_one_car",
                        violation_error_message="This tag hangs on another car’s keys.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("keys__lte", 20)),
                        name="key_tag_keys_possible",
                        violation_error_message="A car has at most 20 keys.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="LocalLimit",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("criterion", models.CharField(max_length=40)),
                (
                    "reason",
                    models.CharField(
                        help_text="Key of the reason whose limit moves.", max_length=40
                    ),
                ),
                (
                    "typed",
                    models.CharField(help_text="In the unit of the criterion.", max_length=20),
                ),
                ("since_on", models.DateField()),
                ("ended_on", models.DateField(blank=True, null=True)),
                ("because", models.CharField(max_length=200)),
                ("source", models.CharField(blank=True, max_length=200)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
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
                "ordering": ["criterion", "since_on", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("ended_on__isnull", True)),
                        fields=("program", "criterion", "reason", "since_on"),
                        name="local_limit_once_a_day",
                        violation_error_message="This limit is set for that day already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("ended_on__isnull", True),
                            ("ended_on__gte", models.F("since_on")),
                            _connector="OR",
                        ),
                        name="local_limit_dates_in_order",
                        violation_error_message="A limit can't end before it begins.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="NotRead",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("criterion", models.CharField(max_length=40)),
                ("position", models.CharField(blank=True, max_length=20)),
                ("final", models.BooleanField(default=False)),
                ("because", models.CharField(max_length=200)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("lifted_at", models.DateTimeField(blank=True, null=True)),
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
                    "intake",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="not_read",
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
                "verbose_name_plural": "points not read",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("lifted_at__isnull", True)),
                        fields=("program", "intake", "criterion", "position", "final"),
                        name="not_read_said_once",
                        violation_error_message="Somebody said already why this point is not read.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Photo",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "about",
                    models.CharField(
                        choices=[
                            ("walk_round", "Walk-round"),
                            ("reading", "Reading"),
                            ("contents", "Contents"),
                            ("papers", "Papers"),
                            ("other", "Other"),
                        ],
                        max_length=12,
                    ),
                ),
                ("key", models.CharField(blank=True, max_length=64)),
                ("caption", models.CharField(blank=True, max_length=120)),
                ("name", models.CharField(max_length=80, unique=True)),
                ("sha256", models.CharField(max_length=64)),
                ("width", models.PositiveIntegerField()),
                ("height", models.PositiveIntegerField()),
                ("size", models.PositiveIntegerField(verbose_name="bytes")),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("voided_at", models.DateTimeField(blank=True, null=True)),
                ("voided_because", models.CharField(blank=True, max_length=120)),
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
                        related_name="photos",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("voided_at__isnull", True),
                            models.Q(("voided_because", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="photo_void_has_reason",
                        violation_error_message="A photo is taken away with a reason.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Regrade",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "was",
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
                (
                    "becomes",
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
                ("because", models.CharField(max_length=200)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "waits",
                    models.BooleanField(default=False, verbose_name="waits for a second person"),
                ),
                ("second_at", models.DateTimeField(blank=True, null=True)),
                ("refused_because", models.CharField(blank=True, max_length=200)),
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
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="regrades",
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
                    "reading",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="regrades",
                        to="vehicles.reading",
                    ),
                ),
                (
                    "second",
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
                            ("becomes__in", ["dangerous", "major", "minor", "none"])
                        ),
                        name="regrade_class_known",
                        violation_error_message="This becomes is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("finding__isnull", False), ("reading__isnull", False), _connector="OR"
                        ),
                        name="regrade_of_something",
                        violation_error_message="A class is set for a reading or a finding.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("second__isnull", True),
                            models.Q(("second", models.F("by")), _negated=True),
                            _connector="OR",
                        ),
                        name="regrade_second_is_another",
                        violation_error_message="The second person has to be somebody else.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("waits", True)),
                        fields=("program", "finding"),
                        name="regrade_one_waits",
                        violation_error_message="A change of this class waits for its second person.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Standing",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "paper",
                    models.CharField(
                        choices=[
                            ("title", "Title"),
                            ("registration", "Registration"),
                            ("none", "Neither was seen"),
                        ],
                        max_length=15,
                    ),
                ),
                (
                    "joined",
                    models.CharField(
                        choices=[
                            ("all", "All names have to sign (“and”)"),
                            ("any", "One name is enough (“or”)"),
                            ("unknown", "The title doesn’t say"),
                        ],
                        default=vehicles.custody.kinds.Joined["UNKNOWN"],
                        max_length=10,
                    ),
                ),
                (
                    "lien",
                    models.CharField(
                        choices=[
                            ("none", "No lien"),
                            ("paid_as_agreed", "Lien, paid as agreed"),
                            ("in_default", "Lien in default"),
                            ("unknown", "Nobody knows"),
                        ],
                        max_length=15,
                    ),
                ),
                (
                    "hold",
                    models.CharField(
                        choices=[
                            ("none", "No hold"),
                            ("police", "Police hold"),
                            ("impound", "Impound hold"),
                            ("repossession", "Repossession order"),
                            ("court", "Court order"),
                            ("unknown", "Nobody knows"),
                        ],
                        max_length=15,
                    ),
                ),
                (
                    "stolen",
                    models.CharField(
                        choices=[
                            ("no", "Not reported stolen"),
                            ("reported", "Reported stolen"),
                            ("unknown", "Nobody knows"),
                        ],
                        max_length=10,
                    ),
                ),
                (
                    "papers_agree",
                    models.BooleanField(
                        blank=True, null=True, verbose_name="plate, door label and paper agree"
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("asked_on", models.DateField()),
                ("cleared_on", models.DateField(blank=True, null=True)),
                ("cleared_because", models.CharField(blank=True, max_length=200)),
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
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="standing",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cleared_on__isnull", True),
                            models.Q(
                                ("cleared_by__isnull", False),
                                models.Q(("cleared_because", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="standing_cleared_with_reason",
                        violation_error_message="A person decides on this, with a reason.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Tow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "direction",
                    models.CharField(choices=[("in", "Tow in"), ("out", "Tow out")], max_length=3),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("flatbed", "Flatbed"),
                            ("wheel_lift", "Wheel lift"),
                            ("dolly", "Dolly"),
                        ],
                        max_length=12,
                    ),
                ),
                ("hauler", models.CharField(max_length=120, verbose_name="who tows")),
                ("from_place", models.CharField(max_length=120, verbose_name="from")),
                ("to_place", models.CharField(max_length=120, verbose_name="to")),
                ("on", models.DateField()),
                (
                    "payer",
                    models.CharField(
                        choices=[
                            ("program", "Program"),
                            ("household", "Household"),
                            ("insurer", "Insurer"),
                            ("sponsor", "Sponsor"),
                        ],
                        max_length=10,
                    ),
                ),
                ("cost_cents", models.BigIntegerField(blank=True, null=True, verbose_name="cost")),
                ("gate_code", models.CharField(blank=True, max_length=40)),
                ("key_drop", models.CharField(blank=True, max_length=120)),
                ("client_key", models.UUIDField(unique=True)),
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
                        related_name="tows",
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
                "ordering": ["on", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cost_cents__isnull", True), ("cost_cents__gte", 0), _connector="OR"
                        ),
                        name="tow_cost_not_negative",
                        violation_error_message="A tow can't cost less than nothing.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Upload",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_key", models.UUIDField(unique=True)),
                (
                    "about",
                    models.CharField(
                        choices=[
                            ("walk_round", "Walk-round"),
                            ("reading", "Reading"),
                            ("contents", "Contents"),
                            ("papers", "Papers"),
                            ("other", "Other"),
                        ],
                        max_length=12,
                    ),
                ),
                ("key", models.CharField(blank=True, max_length=64)),
                ("caption", models.CharField(blank=True, max_length=120)),
                ("size", models.PositiveIntegerField(verbose_name="bytes")),
                ("received", models.PositiveIntegerField(default=0, verbose_name="bytes received")),
                ("begun_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("refused_because", models.CharField(blank=True, max_length=200)),
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
                        related_name="uploads",
                        to="vehicles.intake",
                    ),
                ),
                (
                    "photo",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="upload",
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
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("received__lte", models.F("size"))),
                        name="upload_never_more_than_announced",
                        violation_error_message="More came than was announced.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="WalkRoundMark",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_key", models.UUIDField(unique=True)),
                ("kind", models.CharField(max_length=20)),
                ("x", models.PositiveSmallIntegerField()),
                ("y", models.PositiveSmallIntegerField()),
                ("area", models.CharField(max_length=60)),
                ("note", models.CharField(blank=True, max_length=120)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("voided_at", models.DateTimeField(blank=True, null=True)),
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
                        related_name="marks",
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
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="Departure",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField()),
                ("because", models.CharField(max_length=300)),
                ("language", models.CharField(default="en", max_length=5)),
                (
                    "dangers",
                    models.JSONField(blank=True, default=list, verbose_name="what is dangerous"),
                ),
                (
                    "notice",
                    models.CharField(
                        choices=[
                            ("signed", "Signed by the owner"),
                            ("declined", "Declined to sign, before a witness"),
                        ],
                        max_length=10,
                    ),
                ),
                ("taken_by", models.CharField(max_length=120, verbose_name="who took the notice")),
                ("witness", models.CharField(blank=True, max_length=120)),
                ("strokes", models.JSONField(blank=True, default=list)),
                ("content_hash", models.CharField(max_length=64)),
                (
                    "tow_answer",
                    models.CharField(
                        choices=[
                            ("taken", "Taken: the program arranges a tow"),
                            ("refused", "Refused"),
                            ("own", "They arrange their own tow"),
                        ],
                        max_length=10,
                    ),
                ),
                ("keys_to", models.CharField(max_length=120)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("client_key", models.UUIDField(unique=True)),
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
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="departure",
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
                    "tow",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="departure",
                        to="vehicles.tow",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("notice__in", ["signed", "declined"])),
                        name="departure_notice_known",
                        violation_error_message="This notice is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("notice", vehicles.custody.kinds.NoticeHow["DECLINED"]),
                                _negated=True,
                            ),
                            models.Q(("witness", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="departure_declined_before_witness",
                        violation_error_message="Who declined to sign did so before a witness.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("tow_answer", vehicles.custody.kinds.TowAnswer["TAKEN"]),
                                _negated=True,
                            ),
                            ("tow__isnull", False),
                            _connector="OR",
                        ),
                        name="departure_tow_where_taken",
                        violation_error_message="A tow that was taken has its order.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="KeyMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("holder", models.CharField(max_length=120)),
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
                (
                    "key_tag",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="vehicles.keytag",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.RemoveConstraint(
            model_name="reading",
            name="reading_one_stands",
        ),
        migrations.AddField(
            model_name="consent",
            name="client_key",
            field=models.UUIDField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="consent",
            name="content_hash",
            field=models.CharField(
                blank=True, help_text="SHA-256 of the text that was read, in hex.", max_length=64
            ),
        ),
        migrations.AddField(
            model_name="consent",
            name="how",
            field=models.CharField(
                choices=[
                    ("screen", "Signed on the screen"),
                    ("paper", "Signed on paper, which is kept"),
                    ("phone", "Said on the phone, with a witness"),
                    ("imported", "Taken over from earlier records"),
                ],
                default=vehicles.custody.kinds.SignedHow["IMPORTED"],
                max_length=10,
            ),
        ),
        migrations.AddField(
            model_name="consent",
            name="interpreter",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="consent",
            name="language",
            field=models.CharField(default="en", max_length=5),
        ),
        migrations.AddField(
            model_name="consent",
            name="recorded_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="consent",
            name="strokes",
            field=models.JSONField(
                blank=True, default=list, verbose_name="drawn name, on a pad 600 x 200"
            ),
        ),
        migrations.AddField(
            model_name="consent",
            name="witness",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="intake",
            name="arrived_by",
            field=models.CharField(
                blank=True,
                choices=[("driven", "Driven"), ("towed", "Towed"), ("pushed", "Pushed")],
                max_length=10,
            ),
        ),
        migrations.AddField(
            model_name="intake",
            name="driver",
            field=models.CharField(blank=True, max_length=120, verbose_name="who drives it"),
        ),
        migrations.AddField(
            model_name="intake",
            name="fuel_eighths",
            field=models.PositiveSmallIntegerField(
                blank=True, null=True, verbose_name="fuel, eighths"
            ),
        ),
        migrations.AddField(
            model_name="intake",
            name="lamps",
            field=models.JSONField(blank=True, default=list, verbose_name="warning lamps lit"),
        ),
        migrations.AddField(
            model_name="intake",
            name="odometer_because",
            field=models.CharField(
                blank=True, help_text="Why it shows less than before.", max_length=120
            ),
        ),
        migrations.AddField(
            model_name="intake",
            name="sleeps_in",
            field=models.BooleanField(blank=True, null=True, verbose_name="somebody sleeps in it"),
        ),
        migrations.AddField(
            model_name="reading",
            name="final",
            field=models.BooleanField(default=False, verbose_name="of the final sheet"),
        ),
        migrations.AddField(
            model_name="reading",
            name="limit_because",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="reading",
            name="shipped_limit",
            field=models.CharField(
                blank=True,
                help_text="The catalogue’s own, where a local limit judged.",
                max_length=80,
            ),
        ),
        migrations.AddField(
            model_name="repairitem",
            name="operation",
            field=models.CharField(
                blank=True, help_text="Code in the catalogue of operations.", max_length=60
            ),
        ),
        migrations.AddField(
            model_name="vehicle",
            name="body",
            field=models.CharField(blank=True, max_length=20),
        ),
        migrations.AddField(
            model_name="vehicle",
            name="front_brakes",
            field=models.CharField(
                blank=True, choices=[("disc", "Disc"), ("drum", "Drum")], max_length=5
            ),
        ),
        migrations.AddField(
            model_name="vehicle",
            name="fuel",
            field=models.CharField(
                blank=True,
                choices=[
                    ("gasoline", "Gasoline"),
                    ("diesel", "Diesel"),
                    ("hybrid", "Hybrid"),
                    ("plug_in", "Plug-in hybrid"),
                    ("electric", "Electric"),
                ],
                max_length=10,
            ),
        ),
        migrations.AddField(
            model_name="vehicle",
            name="plate_state",
            field=models.CharField(blank=True, max_length=2),
        ),
        migrations.AddField(
            model_name="vehicle",
            name="power_brakes",
            field=models.BooleanField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="vehicle",
            name="rear_brakes",
            field=models.CharField(
                blank=True, choices=[("disc", "Disc"), ("drum", "Drum")], max_length=5
            ),
        ),
        migrations.AddConstraint(
            model_name="consent",
            constraint=models.CheckConstraint(
                condition=models.Q(("how__in", ["screen", "paper", "phone", "imported"])),
                name="consent_way_known",
                violation_error_message="This how is not known to the program.",
            ),
        ),
        migrations.AddConstraint(
            model_name="consent",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("how", vehicles.custody.kinds.SignedHow["PHONE"]), _negated=True),
                    models.Q(("witness", ""), _negated=True),
                    _connector="OR",
                ),
                name="consent_phone_has_witness",
                violation_error_message="A consent on the phone needs its witness.",
            ),
        ),
        migrations.AddConstraint(
            model_name="intake",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("fuel_eighths__isnull", True), ("fuel_eighths__lte", 8), _connector="OR"
                ),
                name="intake_fuel_possible",
                violation_error_message="A full tank is 8 eighths.",
            ),
        ),
        migrations.AddConstraint(
            model_name="reading",
            constraint=models.UniqueConstraint(
                condition=models.Q(("replaced_at__isnull", True)),
                fields=("program", "intake", "criterion", "position", "final"),
                name="reading_one_stands",
                violation_error_message="Somebody else recorded this point meanwhile.",
            ),
        ),
    ]
