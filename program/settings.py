"""The one settings module. What differs between installations comes from the environment.

The defaults run a developer's machine: SQLite under `var/`, the embedded queue, mail kept in a
folder. With `HANDBACK_PRODUCTION=1` the site refuses to start without its secrets.

| variable | meaning | default |
| --- | --- | --- |
| HANDBACK_PRODUCTION | secure cookies, HTTPS only, secrets required | 0 |
| HANDBACK_SECRET_KEY | signs sessions and private links | a fixed one, development only |
| HANDBACK_HOSTS | host names, separated by commas | localhost, 127.0.0.1 |
| HANDBACK_VAR | folder for database, photos and kept mail | var/ |
| HANDBACK_PROXIES | addresses of our own proxy, separated by commas | this machine in production |
| HANDBACK_SITE | address of the site, for links in mail | http://localhost:8000 |
| HANDBACK_PHOTO_STORAGE | class that keeps photos, such as in object storage | a folder |
| HANDBACK_PHOTO_OPTIONS | that class's options, as JSON; it has to overwrite by name | none |
| DATABASE_URL | a PostgreSQL or SQLite database | SQLite in HANDBACK_VAR |
| REDIS_URL | wakes workers; without it the embedded queue runs | none |
| EMAIL_URL | an SMTP server; without it mail is kept in a folder | none |
"""

from datetime import timedelta
from pathlib import Path

import environ
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

env = environ.Env()

BASE_DIR = Path(__file__).resolve().parent.parent
PRODUCTION = env.bool("HANDBACK_PRODUCTION", default=False)
DEBUG = False
VAR_DIR = Path(env.str("HANDBACK_VAR", default=str(BASE_DIR / "var")))


SHORTEST_KEY = 50


def _secret_key() -> str:
    """Return the signing key; production must bring its own."""
    key = env.str("HANDBACK_SECRET_KEY", default="")
    if PRODUCTION and len(key) < SHORTEST_KEY:
        raise ImproperlyConfigured(f"HANDBACK_SECRET_KEY needs at least {SHORTEST_KEY} characters.")
    return key or "a-key-for-development-only-never-for-people"


SECRET_KEY = _secret_key()
ALLOWED_HOSTS = env.list("HANDBACK_HOSTS", default=["localhost", "127.0.0.1", "[::1]"])
SITE_URL = env.str("HANDBACK_SITE", default="http://localhost:8000").rstrip("/")
CSRF_TRUSTED_ORIGINS = [SITE_URL] if PRODUCTION else []
TRUSTED_PROXIES = env.list("HANDBACK_PROXIES", default=["127.0.0.1", "::1"] if PRODUCTION else [])

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_linear_migrations",
    "django_filters",
    "django_htmx",
    "django_tables2",
    "template_partials",
    "axes",
    "csp",
    "shared",
    "vehicles",
    "sponsors",
    "program",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "shared.accounts.access.ForTheReader",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "program.urls"
WSGI_APPLICATION = "program.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

# ---- database: SQLite set for one small server, PostgreSQL when DATABASE_URL says so ----

_SQLITE_OPTIONS = {
    # Row locks do nothing on SQLite, so a transaction takes the write lock at its start.
    "transaction_mode": "IMMEDIATE",
    "timeout": 30,  # a large import holds the lock for a while; a page waits rather than fails
    "init_command": (
        "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA cache_size=-20000;"
        "PRAGMA mmap_size=134217728;PRAGMA temp_store=MEMORY;"
    ),
}


def _database() -> dict[str, object]:
    """Return the one database's settings."""
    database: dict[str, object] = env.db_url(
        "DATABASE_URL", default=f"sqlite:///{VAR_DIR / 'handback.sqlite3'}"
    )
    if "sqlite" in str(database["ENGINE"]):
        VAR_DIR.mkdir(parents=True, exist_ok=True)
        # A file, since a worker in another process can't see a database in memory.
        return database | {
            "OPTIONS": _SQLITE_OPTIONS,
            "CONN_MAX_AGE": None,
            "TEST": {"NAME": VAR_DIR / "test.sqlite3"},
        }
    return database | {"CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True}


DATABASES = {"default": _database()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# ---- people ----

AUTH_USER_MODEL = "shared.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]
LOGIN_URL = "accounts:sign_in"
LOGIN_REDIRECT_URL = "desk:first_page"
LOGOUT_REDIRECT_URL = "accounts:sign_in"
AXES_FAILURE_LIMIT = 5
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_RESET_ON_SUCCESS = True
AXES_CLIENT_IP_CALLABLE = "shared.accounts.access.client_address"
AXES_LOCKOUT_TEMPLATE = "429.html"
AXES_VERBOSE = False

# ---- language and time: staff pages are English; what outsiders read is English and Spanish ----

LANGUAGE_CODE = "en-us"
LANGUAGES = [("en", "English"), ("es", "Español")]
LOCALE_PATHS = [BASE_DIR / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = env.str("HANDBACK_TIME_ZONE", default="America/Chicago")

# ---- files ----

STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
MEDIA_ROOT = VAR_DIR / "photos"  # served by no address: a view looks at who asks
DATA_UPLOAD_MAX_MEMORY_SIZE = 30 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024


def _photo_storage() -> dict[str, object]:
    """Return where photos are kept: a folder of the owner's alone, or what the setting names."""
    if backend := env.str("HANDBACK_PHOTO_STORAGE", default=""):
        return {"BACKEND": backend, "OPTIONS": env.json("HANDBACK_PHOTO_OPTIONS", default={})}
    only_ours = {"file_permissions_mode": 0o600, "directory_permissions_mode": 0o700}
    return {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": only_ours | {"allow_overwrite": True},
    }


STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    "private": _photo_storage(),
}

# ---- mail: kept in a folder until a server is named ----

MAIL_FOLDER = VAR_DIR / "mail"
DEFAULT_FROM_EMAIL = env.str("HANDBACK_FROM", default="garage@osier-street.example")
if env.str("EMAIL_URL", default=""):
    vars().update(env.email_url("EMAIL_URL"))
else:
    EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    EMAIL_FILE_PATH = MAIL_FOLDER

# Called with a user; returns the addresses whose mail that user may not read.
MAIL_WITHHELD = "program.households.queries.withheld_addresses"

# ---- work: it stops where it goes beyond what was authorized ----

# Called with the ids of stays; returns what stops their repair, by stay.
WORK_STOPS = "program.decisions.queries.stops"
# Called with an item that was taken off the list, and by whom; frees the money set aside for it.
WORK_DROPPED = "program.decisions.keeping.free_item"

# ---- parts: nothing else of a car is asked for before its gate is done or funded ----

# Called with a program; returns the open needs that wait behind a gate, by their keys.
NEEDS_HELD = "program.purchasing.queries.held_in"

# ---- jobs: the job table is the truth, Redis only wakes workers ----

REDIS_URL = env.str("REDIS_URL", default="")
JOB_WORK = "program.work.WORK"
JOB_SCHEDULES = "program.work.SCHEDULES"
JOB_BROKER = "program.celery.app"
JOB_LEASE_SECONDS = env.int("HANDBACK_JOB_LEASE", default=120)

# ---- safety ----

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    }
}
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_AGE = 12 * 60 * 60
SESSION_COOKIE_HTTPONLY = True
if PRODUCTION:
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

DJANGO_TABLES2_TEMPLATE = "shared/table.html"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": env.str("HANDBACK_LOG", default="WARNING")},
    # These two write whole addresses, and an address may hold a private link.
    "loggers": {
        "django.request": {"level": "CRITICAL"},
        "django.server": {"level": "CRITICAL"},
    },
}
