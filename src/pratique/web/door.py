"""The door: on the home network a household passphrase stands before every page; on this machine alone, none does."""

import hashlib
import time
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from pratique.settings import CONFIG

TRIES_BEFORE_WAIT = 5
WAIT_S = 15 * 60
_SESSION_KEY = "door"


def passphrase_file() -> Path:
    """Return where this home keeps the hash of its passphrase."""
    return CONFIG.home / "passphrase.argon2"


def set_passphrase(passphrase: str) -> None:
    """Keep the argon2 hash of a new passphrase; everyone signed in with the old one is shown the door."""
    path = passphrase_file()
    path.touch(mode=0o600)
    path.write_text(make_password(passphrase))


def has_passphrase() -> bool:
    """Return whether this home has a passphrase."""
    return passphrase_file().exists()


def _mark() -> str:
    """Return what a signed-in session holds: it changes with the passphrase."""
    return hashlib.sha256(passphrase_file().read_bytes()).hexdigest()[:24]


def is_inside(request: HttpRequest) -> bool:
    """Return whether this request may see pages."""
    if not CONFIG.lan:
        return True
    return has_passphrase() and request.session.get(_SESSION_KEY) == _mark()


def try_passphrase(request: HttpRequest, passphrase: str) -> str | None:
    """Sign in, or return a sentence that says why not. Too many tries from one address must wait."""
    tries_key = f"door:{request.META.get('REMOTE_ADDR', '')}"
    tries, until = cache.get(tries_key, (0, 0.0))
    now = time.time()
    if tries >= TRIES_BEFORE_WAIT and now < until:
        minutes = int((until - now) // 60) + 1
        return f"Too many tries from this device. Wait {minutes} min, then try again."
    if has_passphrase() and check_password(passphrase, passphrase_file().read_text()):
        cache.delete(tries_key)
        request.session.cycle_key()
        request.session[_SESSION_KEY] = _mark()
        return None
    cache.set(tries_key, (tries + 1, now + WAIT_S), WAIT_S)
    return "That is not this household's passphrase. Capitals and spaces count."


class DoorMiddleware:
    """Sends everyone who has not given the passphrase to the sign-in page."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Let the request in, or send it to the door."""
        sign_in = reverse("sign-in")
        is_open = request.path == sign_in or request.path.startswith(settings.STATIC_URL)
        if is_open or is_inside(request):
            return self._get_response(request)
        # Only a page that was asked for is worth coming back to.
        after = {"next": request.path} if request.method == "GET" else {}
        return HttpResponseRedirect(f"{sign_in}?{urlencode(after)}")
