"""Typed configuration, read once from the environment, and the Django settings made from it."""

import secrets
from pathlib import Path
from typing import Any

import dj_database_url
import platformdirs
from django.utils.csp import CSP
from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict


class Config(BaseSettings):
    """What the environment may say. Every name carries the prefix `PRATIQUE_`."""

    model_config = SettingsConfigDict(env_prefix="PRATIQUE_")

    home: Path = Field(default_factory=lambda: Path(platformdirs.user_data_dir("pratique", appauthor=False)))
    database_url: str = ""
    lan: bool = False
    plain_http: bool = False
    debug: bool = False


CONFIG = Config()


def _secret_key(home: Path) -> str:
    """Return this home's signing key, made on first use and readable by its owner only."""
    home.mkdir(parents=True, exist_ok=True, mode=0o700)
    path = home / "signing.key"
    if not path.exists():
        fresh = path.with_suffix(f".{secrets.token_hex(4)}")
        fresh.touch(mode=0o600)
        fresh.write_text(secrets.token_urlsafe(50))
        try:
            # A hard link fails where another process was first, so all processes agree on one key.
            path.hardlink_to(fresh)
        except FileExistsError:
            pass
        finally:
            fresh.unlink()
    return path.read_text()


def _database(config: Config) -> dict[str, Any]:
    if config.database_url:
        return dict(dj_database_url.parse(config.database_url, conn_max_age=60))
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(config.home / "ledger.sqlite3"),
        "CONN_MAX_AGE": 60,
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            # FULL: an acknowledged entry has reached the disk before the keeper is told so.
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
        },
    }


SECRET_KEY = _secret_key(CONFIG.home)
DEBUG = CONFIG.debug
# Behind --lan the host may be any name or address the home network gives this machine; the door is the passphrase.
ALLOWED_HOSTS = ["*"] if CONFIG.lan else ["127.0.0.1", "localhost", "[::1]"]
DATABASES = {"default": _database(CONFIG)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
INSTALLED_APPS = [
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "pratique.ledger",
    "pratique.web",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.csp.ContentSecurityPolicyMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "pratique.web.door.DoorMiddleware",
    "pratique.web.clock.KeepersDayMiddleware",
]
ROOT_URLCONF = "pratique.web.urls"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
                "pratique.web.frame.page_frame",
            ]
        },
    }
]
# Sessions hold only "came through the door" and the author's name, so a signed cookie is enough.
SESSION_ENGINE = "django.contrib.sessions.backends.signed_cookies"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 90 * 24 * 3600
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = CONFIG.lan and not CONFIG.plain_http
CSRF_COOKIE_HTTPONLY = True
MESSAGE_STORAGE = "django.contrib.messages.storage.cookie.CookieStorage"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SECURE_CSP = {
    "default-src": [CSP.NONE],
    "script-src": [CSP.SELF],
    "style-src": [CSP.SELF],
    "img-src": [CSP.SELF, "blob:"],
    "media-src": [CSP.SELF],
    "connect-src": [CSP.SELF],
    "manifest-src": [CSP.SELF],
    "form-action": [CSP.SELF],
    "base-uri": [CSP.NONE],
    "frame-ancestors": [CSP.NONE],
}
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
STATIC_URL = "/static/"
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
USE_I18N = False
DATA_UPLOAD_MAX_MEMORY_SIZE = 24 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 24 * 1024 * 1024
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "loggers": {
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        # A form sent back with a sentence, and a page that is not there, are no news for the keeper's terminal.
        "django.request": {"level": "ERROR"},
    },
}
