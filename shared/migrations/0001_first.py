import django.contrib.auth.models
import django.contrib.auth.validators
import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import shared.jobs.states
import shared.outbox.contact
import shared.policy.models
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
    ]

    operations = [
        migrations.CreateModel(
            name="Address",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "channel",
                    models.CharField(
                        choices=[
                            ("email", "email"),
                            ("text", "text"),
                            ("phone", "phone"),
                            ("post", "post"),
                        ],
                        default=shared.outbox.contact.Channel["EMAIL"],
                        max_length=10,
                    ),
                ),
                (
                    "email",
                    models.CharField(
                        blank=True,
                        max_length=254,
                        validators=[django.core.validators.EmailValidator()],
                    ),
                ),
                ("phone", models.CharField(blank=True, max_length=30)),
                (
                    "language",
                    models.CharField(
                        choices=[("en", "English"), ("es", "Español")], default="en", max_length=5
                    ),
                ),
                (
                    "says",
                    models.CharField(
                        choices=[
                            ("nothing", "nothing"),
                            ("call_back", "call back"),
                            ("progress", "progress"),
                        ],
                        default=shared.outbox.contact.MaySay["NOTHING"],
                        max_length=10,
                        verbose_name="may be told",
                    ),
                ),
                (
                    "hours",
                    models.CharField(
                        blank=True,
                        help_text="When to call, such as 9:00-17:00.",
                        max_length=60,
                        verbose_name="hours",
                    ),
                ),
                (
                    "speaks_for",
                    models.CharField(
                        blank=True, help_text="Who may speak for them.", max_length=120
                    ),
                ),
                (
                    "barred",
                    models.BooleanField(
                        default=False, help_text="Contact could put a person in danger."
                    ),
                ),
                ("opted_out_at", models.DateTimeField(blank=True, null=True)),
                ("version", models.PositiveIntegerField(default=1)),
            ],
            options={
                "verbose_name_plural": "addresses",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("channel__in", ["email", "text", "phone", "post"])),
                        name="address_channel_known",
                        violation_error_message="This channel is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("says__in", ["nothing", "call_back", "progress"])),
                        name="address_says_known",
                        violation_error_message="This says is not known to the program.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Program",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("town", models.CharField(max_length=80)),
                (
                    "region",
                    models.CharField(
                        help_text="Two letters, such as OH.", max_length=2, verbose_name="state"
                    ),
                ),
                ("postal_address", models.CharField(max_length=200)),
                ("phone", models.CharField(max_length=30)),
                ("email", models.EmailField(max_length=254)),
                ("time_zone", models.CharField(default="America/Chicago", max_length=50)),
                ("is_demo", models.BooleanField(default=False)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
            ],
        ),
        migrations.CreateModel(
            name="User",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                (
                    "is_superuser",
                    models.BooleanField(
                        default=False,
                        help_text="Designates that this user has all permissions without explicitly assigning them.",
                        verbose_name="superuser status",
                    ),
                ),
                (
                    "username",
                    models.CharField(
                        error_messages={"unique": "A user with that username already exists."},
                        help_text="Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.",
                        max_length=150,
                        unique=True,
                        validators=[django.contrib.auth.validators.UnicodeUsernameValidator()],
                        verbose_name="username",
                    ),
                ),
                (
                    "first_name",
                    models.CharField(blank=True, max_length=150, verbose_name="first name"),
                ),
                (
                    "last_name",
                    models.CharField(blank=True, max_length=150, verbose_name="last name"),
                ),
                (
                    "email",
                    models.EmailField(blank=True, max_length=254, verbose_name="email address"),
                ),
                (
                    "is_staff",
                    models.BooleanField(
                        default=False,
                        help_text="Designates whether the user can log into this admin site.",
                        verbose_name="staff status",
                    ),
                ),
                (
                    "is_active",
                    models.BooleanField(
                        default=True,
                        help_text="Designates whether this user should be treated as active. Unselect this instead of deleting accounts.",
                        verbose_name="active",
                    ),
                ),
                (
                    "date_joined",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="date joined"
                    ),
                ),
                (
                    "language",
                    models.CharField(
                        choices=[("en", "English"), ("es", "Español")], default="en", max_length=5
                    ),
                ),
                (
                    "groups",
                    models.ManyToManyField(
                        blank=True,
                        help_text="The groups this user belongs to. A user will get all permissions granted to each of their groups.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.group",
                        verbose_name="groups",
                    ),
                ),
                (
                    "user_permissions",
                    models.ManyToManyField(
                        blank=True,
                        help_text="Specific permissions for this user.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.permission",
                        verbose_name="user permissions",
                    ),
                ),
                (
                    "program",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.program",
                    ),
                ),
            ],
            options={
                "verbose_name": "user",
            },
            managers=[
                ("objects", django.contrib.auth.models.UserManager()),
            ],
        ),
        migrations.CreateModel(
            name="Person",
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
                        choices=[("paid", "paid"), ("volunteer", "volunteer")], max_length=10
                    ),
                ),
                (
                    "pace_percent",
                    models.PositiveSmallIntegerField(
                        default=100,
                        validators=[
                            django.core.validators.MinValueValidator(10),
                            django.core.validators.MaxValueValidator(150),
                        ],
                    ),
                ),
                (
                    "attendance_percent",
                    models.PositiveSmallIntegerField(
                        default=100,
                        validators=[
                            django.core.validators.MinValueValidator(10),
                            django.core.validators.MaxValueValidator(100),
                        ],
                    ),
                ),
                ("credential", models.CharField(blank=True, max_length=120)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "user",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="person",
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
                "verbose_name_plural": "people",
                "ordering": ["name", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["paid", "volunteer"])),
                        name="person_kind_known",
                        violation_error_message="This kind is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pace_percent__range", (10, 150)),
                            ("attendance_percent__range", (10, 100)),
                        ),
                        name="person_percents_possible",
                        violation_error_message="Pace is 10 to 150 percent, attendance 10 to 100 percent.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Message",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=120)),
                (
                    "kind",
                    models.CharField(
                        choices=[("appeal", "appeal"), ("status", "status"), ("answer", "answer")],
                        max_length=10,
                    ),
                ),
                (
                    "tells",
                    models.CharField(
                        choices=[
                            ("nothing", "nothing"),
                            ("call_back", "call back"),
                            ("progress", "progress"),
                        ],
                        max_length=10,
                    ),
                ),
                ("subject", models.CharField(max_length=200)),
                ("text", models.TextField()),
                ("html", models.TextField(blank=True)),
                ("headers", models.JSONField(blank=True, default=dict)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "waiting"),
                            ("sending", "sending"),
                            ("sent", "sent"),
                            ("held", "held"),
                            ("unknown", "unknown"),
                        ],
                        default=shared.outbox.contact.MessageState["WAITING"],
                        max_length=10,
                    ),
                ),
                ("held_because", models.CharField(blank=True, max_length=300)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                (
                    "address",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="messages",
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
                "ordering": ["-made_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["waiting", "sending", "sent", "held", "unknown"])
                        ),
                        name="message_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["appeal", "status", "answer"])),
                        name="message_kind_known",
                        violation_error_message="This kind is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("tells__in", ["nothing", "call_back", "progress"])),
                        name="message_tells_known",
                        violation_error_message="This tells is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "key"),
                        name="message_written_once",
                        violation_error_message="This message was written already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("state", shared.outbox.contact.MessageState["SENT"]), _negated=True
                            ),
                            ("sent_at__isnull", False),
                            _connector="OR",
                        ),
                        name="message_sent_has_moment",
                        violation_error_message="A sent message has the moment it was sent.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Job",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=120)),
                ("kind", models.CharField(max_length=40)),
                ("payload", models.JSONField(blank=True, default=dict)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("pending", "pending"),
                            ("running", "running"),
                            ("done", "done"),
                            ("failed", "failed"),
                        ],
                        default=shared.jobs.states.JobState["PENDING"],
                        max_length=10,
                    ),
                ),
                ("run_after", models.DateTimeField(default=django.utils.timezone.now)),
                ("lease_until", models.DateTimeField(blank=True, null=True)),
                ("lease_token", models.UUIDField(blank=True, null=True)),
                ("attempts", models.PositiveSmallIntegerField(default=0)),
                ("error", models.TextField(blank=True)),
                ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("done_at", models.DateTimeField(blank=True, null=True)),
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
                "indexes": [models.Index(fields=["state", "run_after"], name="job_due")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["pending", "running", "done", "failed"])),
                        name="job_state_known",
                        violation_error_message="This state is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "key"),
                        name="job_effect_once",
                        violation_error_message="This was asked for already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("state", shared.jobs.states.JobState["RUNNING"]), _negated=True
                            ),
                            models.Q(
                                ("lease_token__isnull", False), ("lease_until__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="job_running_has_lease",
                        violation_error_message="A running job holds a lease.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Event",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                ("kind", models.CharField(help_text="Model name, such as `case`.", max_length=40)),
                ("object_id", models.BigIntegerField()),
                (
                    "what",
                    models.CharField(help_text="What was done, as a sentence.", max_length=200),
                ),
                ("reason", models.CharField(blank=True, max_length=500)),
                (
                    "fields",
                    models.JSONField(
                        blank=True, default=list, help_text="Names of the fields that changed."
                    ),
                ),
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
                "ordering": ["-at", "-id"],
                "indexes": [models.Index(fields=["kind", "object_id", "-at"], name="event_about")],
            },
        ),
        migrations.CreateModel(
            name="Document",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.CharField(max_length=30)),
                ("title", models.CharField(max_length=120)),
                ("holder_kind", models.CharField(max_length=40)),
                ("holder_id", models.BigIntegerField()),
                ("content", models.BinaryField()),
                ("issued_at", models.DateTimeField(default=django.utils.timezone.now)),
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
                "indexes": [
                    models.Index(fields=["holder_kind", "holder_id"], name="document_holder")
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "number"),
                        name="document_number_once",
                        violation_error_message="A document with this number was issued already.",
                    )
                ],
            },
        ),
        migrations.AddField(
            model_name="address",
            name="program",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="shared.program"
            ),
        ),
        migrations.CreateModel(
            name="AccessLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("public_id", models.UUIDField(editable=False, unique=True)),
                (
                    "purpose",
                    models.CharField(
                        choices=[
                            ("status", "Status page of a household"),
                            ("portal", "Portal of a sponsor"),
                            ("unsubscribe", "Stop mail to one address"),
                        ],
                        max_length=20,
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("expires_at", models.DateTimeField(blank=True, null=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("last_used_at", models.DateTimeField(blank=True, null=True)),
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
                        condition=models.Q(("purpose__in", ["status", "portal", "unsubscribe"])),
                        name="link_purpose_known",
                        violation_error_message="This purpose is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("version__gte", 1)),
                        name="link_version_counts_up",
                        violation_error_message="A link's versions count from 1.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Role",
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
                            ("coordinator", "Coordinator"),
                            ("lead_technician", "Lead technician"),
                            ("technician", "Technician"),
                            ("volunteer", "Volunteer"),
                            ("caseworker", "Caseworker"),
                            ("treasurer", "Treasurer"),
                            ("board", "Board"),
                            ("sponsor", "Sponsor"),
                        ],
                        max_length=20,
                    ),
                ),
                ("since_on", models.DateField()),
                ("until_on", models.DateField(blank=True, null=True)),
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
                        related_name="roles",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["user", "kind", "since_on"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "kind__in",
                                [
                                    "coordinator",
                                    "lead_technician",
                                    "technician",
                                    "volunteer",
                                    "caseworker",
                                    "treasurer",
                                    "board",
                                    "sponsor",
                                ],
                            )
                        ),
                        name="role_kind_known",
                        violation_error_message="This kind is not known to the program.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("until_on__isnull", True),
                            ("until_on__gte", models.F("since_on")),
                            _connector="OR",
                        ),
                        name="role_dates_in_order",
                        violation_error_message="A role can't end before it begins.",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("until_on__isnull", True)),
                        fields=("program", "user", "kind"),
                        name="role_held_once",
                        violation_error_message="This person holds the role already.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Signature",
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
                        help_text="What is signed, such as `approve_plan`.", max_length=40
                    ),
                ),
                ("kind", models.CharField(help_text="Model name of the subject.", max_length=40)),
                ("object_id", models.BigIntegerField()),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("coordinator", "Coordinator"),
                            ("lead_technician", "Lead technician"),
                            ("technician", "Technician"),
                            ("volunteer", "Volunteer"),
                            ("caseworker", "Caseworker"),
                            ("treasurer", "Treasurer"),
                            ("board", "Board"),
                            ("sponsor", "Sponsor"),
                        ],
                        max_length=20,
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "content_hash",
                    models.CharField(help_text="SHA-256 of what was read, in hex.", max_length=64),
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
                            (
                                "role__in",
                                [
                                    "coordinator",
                                    "lead_technician",
                                    "technician",
                                    "volunteer",
                                    "caseworker",
                                    "treasurer",
                                    "board",
                                    "sponsor",
                                ],
                            )
                        ),
                        name="signature_role_known",
                        violation_error_message="This role is not known to the program.",
                    ),
                    models.UniqueConstraint(
                        fields=("program", "act", "kind", "object_id", "by"),
                        name="signature_by_another_person",
                        violation_error_message="The second signature has to be another person's.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Skill",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "code",
                    models.CharField(
                        help_text="A system code, or such as `road_test`.", max_length=30
                    ),
                ),
                ("since_on", models.DateField()),
                ("until_on", models.DateField(blank=True, null=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="skills",
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
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "person", "code", "since_on"),
                        name="skill_once_a_day",
                        violation_error_message="This skill was signed off for that day already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="WeekHours",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("week_on", models.DateField(verbose_name="Monday of the week")),
                ("minutes", models.PositiveIntegerField()),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="weeks",
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
                "verbose_name_plural": "week hours",
                "ordering": ["week_on", "person"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "person", "week_on"),
                        name="week_hours_once",
                        violation_error_message="This person's hours for that week are there already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("minutes__lte", 10080)),
                        name="week_hours_possible",
                        violation_error_message="A week has 168 hours.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("week_on__iso_week_day", 1)),
                        name="week_hours_on_monday",
                        violation_error_message="A week is named by its Monday.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Policy",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        max_length=40, validators=[shared.policy.models.validate_known]
                    ),
                ),
                ("value", models.BigIntegerField()),
                ("since_on", models.DateField()),
                ("reason", models.CharField(max_length=200)),
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
                "verbose_name_plural": "policies",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("program", "name", "since_on"),
                        name="policy_once_a_day",
                        violation_error_message="This policy was set for that day already.",
                    )
                ],
            },
        ),
    ]
