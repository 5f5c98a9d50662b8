"""Every setting. Boots with nothing set: SQLite and an in-memory channel layer in one process.

The table of environment variables stands in DEVELOPERS.md; a test keeps the two equal.
"""

from __future__ import annotations

import os
from pathlib import Path
from urllib.parse import urlsplit

from cryptography.fernet import Fernet

from clubapp.keys import env_bool, env_list, key_file, mail_server, new_push_key, new_secret

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("FIELDBELL_DATA") or BASE_DIR / ".data").resolve()
DATA_DIR.mkdir(parents=True, exist_ok=True, mode=0o700)

DEBUG = env_bool("FIELDBELL_DEBUG")
SECRET_KEY = os.environ.get("FIELDBELL_SECRET") or key_file(DATA_DIR / "secret.key", new_secret)
# Newest first: the first encrypts, all of them decrypt.
FIELD_KEYS = (
    env_list("FIELDBELL_FIELD_KEYS")
    or key_file(DATA_DIR / "field.keys", lambda: Fernet.generate_key().decode()).split()
)

# The public address. Without it plain http on the local network works, and `serve` adds the addresses it listens on.
PUBLIC_URL = os.environ.get("FIELDBELL_URL", "").rstrip("/")
SECURE = PUBLIC_URL.startswith("https://")
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]", *env_list("FIELDBELL_HOSTS")]
CSRF_TRUSTED_ORIGINS: list[str] = []
if PUBLIC_URL:
    ALLOWED_HOSTS.append(urlsplit(PUBLIC_URL).hostname or "")
    CSRF_TRUSTED_ORIGINS.append(PUBLIC_URL)

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "servestatic",
    "django.contrib.staticfiles",
    "channels",
    "django_htmx",
    "template_partials",
    "csp",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "clubapp.core",
    "clubapp.people",
    "clubapp.results",
    "clubapp.planning",
    "clubapp.register",
    "clubapp.rotation",
    "clubapp.games",
    "clubapp.live",
    "clubapp.family",
    "clubapp.desk",
]

MIDDLEWARE = [
    "clubapp.core.middleware.request_line",
    "django.middleware.security.SecurityMiddleware",
    "servestatic.middleware.ServeStaticMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "clubapp.people.second_step.first",
    "clubapp.core.middleware.private_pages",
    "clubapp.core.middleware.whole_page_sign_in",
    "clubapp.core.middleware.kept_pages",
    "clubapp.core.middleware.own_queue",
]

ROOT_URLCONF = "clubapp.urls"
ASGI_APPLICATION = "clubapp.asgi.application"
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
                "clubapp.core.context.page",
            ],
        },
    }
]

DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": DATA_DIR / "fieldbell.sqlite3",
        # With WAL alone a read that becomes a write fails at once; IMMEDIATE makes it wait its turn.
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA journal_size_limit=67108864; "
            "PRAGMA secure_delete=ON;",  # an erased child's name is not left in the file's free pages
        },
        # A file: consumers and views read it from several threads, which an in-memory database does not bear.
        "TEST": {"NAME": DATA_DIR / "test.sqlite3"},
    }
}
POSTGRES = os.environ.get("FIELDBELL_POSTGRES", "")
if POSTGRES:
    parts = urlsplit(POSTGRES)
    DATABASES["default"] = {
        "ENGINE": "django.db.backends.postgresql",
        "NAME": parts.path.lstrip("/"),
        "USER": parts.username or "",
        "PASSWORD": parts.password or "",
        "HOST": parts.hostname or "",
        "PORT": str(parts.port or ""),
        # A command line needs one connection, a server one for each thread at work; nobody waits for ever.
        "OPTIONS": {"pool": {"min_size": 1, "max_size": 16, "timeout": 10}},
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

REDIS = os.environ.get("FIELDBELL_REDIS", "")
CHANNEL_LAYERS: dict[str, dict[str, object]] = {"default": {"BACKEND": "channels.layers.InMemoryChannelLayer"}}
if REDIS:
    # redis-py's default socket timeout would end every idle consumer after five seconds.
    CHANNEL_LAYERS = {
        "default": {
            "BACKEND": "channels_redis.core.RedisChannelLayer",
            "CONFIG": {"hosts": [{"address": REDIS, "socket_timeout": None, "socket_connect_timeout": 2}]},
        }
    }
# Counts wrong tries; several processes must count together.
CACHES: dict[str, dict[str, object]] = {
    "default": {
        "BACKEND": "django.core.cache.backends.locmem.LocMemCache",
        "LOCATION": "fieldbell",
        # Django's 300 would throw counts of wrong tries away as soon as a few hundred phones are heard.
        "OPTIONS": {"MAX_ENTRIES": 20_000},
    }
}
if REDIS:
    CACHES = {
        "default": {
            "BACKEND": "clubapp.core.counting.SharedCache",
            "LOCATION": REDIS,
            "OPTIONS": {"socket_timeout": 1, "socket_connect_timeout": 1},
        }
    }

AUTH_USER_MODEL = "people.User"
LOGIN_URL = "people:sign_in"
LOGIN_REDIRECT_URL = "desk:home"
LOGOUT_REDIRECT_URL = "people:sign_in"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "clubapp.people.passwords.LongEnough", "OPTIONS": {"min_length": 10}},
    {"NAME": "clubapp.people.passwords.NotCommon"},
    {"NAME": "clubapp.people.passwords.NotOnlyDigits"},
]

# Codes by mail, passkeys and the second step are allauth's; accounts come by invitation alone.
ACCOUNT_ADAPTER = "clubapp.people.adapters.ClubAdapter"
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_EMAIL_UNKNOWN_ACCOUNTS = False
ACCOUNT_LOGIN_BY_CODE_ENABLED = True
ACCOUNT_LOGIN_BY_CODE_TIMEOUT = 600  # mail takes its time
ACCOUNT_PASSWORD_RESET_BY_CODE_ENABLED = True
ACCOUNT_PASSWORD_RESET_BY_CODE_TIMEOUT = 600
ACCOUNT_LOGIN_ON_PASSWORD_RESET = True  # by way of the second step, where there is one
ACCOUNT_FORMS = {
    "request_login_code": "clubapp.people.forms.account.CodeForm",
    "confirm_login_code": "clubapp.people.forms.account.TypedCodeForm",
    "reset_password": "clubapp.people.forms.account.ForgottenForm",
    "confirm_password_reset_code": "clubapp.people.forms.account.ForgottenCodeForm",
    "reset_password_from_key": "clubapp.people.forms.account.NewPasswordForm",
    "change_password": "clubapp.people.forms.account.ChangePasswordForm",
    "set_password": "clubapp.people.forms.account.SetPasswordForm",
    "reauthenticate": "clubapp.people.forms.account.AgainForm",
}
ACCOUNT_REAUTHENTICATION_TIMEOUT = 600
MFA_ADAPTER = "clubapp.people.adapters.StepAdapter"
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_TOTP_ISSUER = "Fieldbell"
MFA_TOTP_TOLERANCE = 1  # a phone's clock half a minute off
MFA_FORMS = {
    "authenticate": "clubapp.people.forms.account.StepForm",
    "reauthenticate": "clubapp.people.forms.account.StepAgainForm",
    "activate_totp": "clubapp.people.forms.account.AppForm",
    "add_webauthn": "clubapp.people.forms.account.AddKeyForm",
    "authenticate_webauthn": "clubapp.people.forms.account.AnswerForm",
    "login_webauthn": "clubapp.people.forms.account.SignInKeyForm",
    "reauthenticate_webauthn": "clubapp.people.forms.account.AgainKeyForm",
}

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en", "English")]
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
# Nobody else has a use for our files.
SERVESTATIC_ALLOW_ALL_ORIGINS = False
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "clubapp.core.storage.HashedStatic"},
}
MEDIA_ROOT = DATA_DIR / "media"

# One URL; without it mails are files in a folder that the head coach reads on a page, and nobody receives them.
MAIL_IN_FOLDER = not os.environ.get("FIELDBELL_MAIL")
MAIL_FOLDER = DATA_DIR / "mail"
EMAIL_TIMEOUT = 10
EMAIL_BACKEND = "clubapp.core.folder_mail.FolderBackend"
DEFAULT_FROM_EMAIL = "club@fieldbell.example"
if not MAIL_IN_FOLDER:
    globals().update(mail_server(os.environ["FIELDBELL_MAIL"]))

# By this key push services know us: lose it and every phone has to be asked anew.
PUSH_KEY = os.environ.get("FIELDBELL_PUSH_KEY") or key_file(DATA_DIR / "push.key", new_push_key)
# Where browsers have their notices brought from; an address is sent by the phone, so nothing else is ever asked.
# As known to us, no published list.
PUSH_SERVICES = (
    "https://fcm.googleapis.com",
    "https://*.push.services.mozilla.com",
    "https://*.push.apple.com",
    "https://*.notify.windows.com",
)

SESSION_COOKIE_NAME = "__Host-fieldbell" if SECURE else "fieldbell"
SESSION_COOKIE_SECURE = SECURE
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30
CSRF_COOKIE_NAME = "__Host-fieldbell-csrf" if SECURE else "fieldbell-csrf"
CSRF_COOKIE_SECURE = SECURE
CSRF_FAILURE_VIEW = "clubapp.core.errors.forged"
SECURE_SSL_REDIRECT = SECURE
SECURE_HSTS_SECONDS = 31536000 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE
SECURE_HSTS_PRELOAD = SECURE
SECURE_REFERRER_POLICY = "same-origin"
# Set only behind a proxy that strips the header from what it receives.
if env_bool("FIELDBELL_BEHIND_PROXY"):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
X_FRAME_OPTIONS = "DENY"
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
SILENCED_SYSTEM_CHECKS: list[str] = []

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "worker-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"no_address": {"()": "clubapp.core.logs.NoAddress"}},
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": "INFO"},
    "loggers": {
        # One line a request is ours (core.middleware); Django's own would repeat it with the path, tokens included.
        # Only a fault of ours is worth its traceback.
        "django.request": {"level": "ERROR", "filters": ["no_address"]},
        "django.security.csrf": {"filters": ["no_address"]},
        # A pasted table that is too big is no fault of ours: its 413 stands in the request's own line.
        "django.security.RequestDataTooBig": {"level": "CRITICAL"},
        "django.server": {"level": "CRITICAL"},
        "uvicorn.access": {"level": "CRITICAL"},
    },
}
