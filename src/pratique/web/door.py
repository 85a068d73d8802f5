"""The door: on the home network a household passphrase stands before every page; on this machine alone, none does."""

import hashlib
import ipaddress
import math
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
SHORTEST = 10
_SESSION_KEY = "door"


def passphrase_file() -> Path:
    """Return where this home keeps the hash of its passphrase."""
    return CONFIG.home / "passphrase.argon2"


def set_passphrase(passphrase: str) -> None:
    """Keep the argon2 hash of a new passphrase; everyone signed in with the old one is shown the door."""
    path = passphrase_file()
    fresh = path.with_suffix(".new")
    fresh.unlink(missing_ok=True)
    fresh.touch(mode=0o600)
    fresh.write_text(make_password(passphrase))
    fresh.replace(path)


def has_passphrase() -> bool:
    """Return whether this home has a passphrase."""
    return passphrase_file().exists()


def is_inside(request: HttpRequest) -> bool:
    """Return whether this request may see pages."""
    if not CONFIG.lan:
        return True
    return has_passphrase() and request.session.get(_SESSION_KEY) == _mark()


def try_passphrase(request: HttpRequest, passphrase: str) -> str | None:
    """Sign in, or return a sentence that says why not. Too many tries from one device must wait."""
    now = time.time()
    key = f"door:{_device(request)}:{now // WAIT_S:.0f}"
    # Counted before the answer is known, so tries at the same moment count too.
    cache.add(key, 0, WAIT_S)
    if cache.incr(key) > TRIES_BEFORE_WAIT:
        minutes = math.ceil((WAIT_S - now % WAIT_S) / 60)
        return f"Too many tries from this device. Wait {minutes} min, then try again."
    if has_passphrase() and check_password(passphrase, passphrase_file().read_text()):
        cache.delete(key)
        request.session.cycle_key()
        request.session[_SESSION_KEY] = _mark()
        return None
    return "That is not this household's passphrase. Capitals and spaces count."


def leave(request: HttpRequest) -> None:
    """Forget that this device came through the door."""
    request.session.flush()


class DoorMiddleware:
    """Sends everyone who has not given the passphrase to the sign-in page."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Let the request in, or send it to the door."""
        if is_open(request.path) or is_inside(request):
            response = self._get_response(request)
            if CONFIG.lan and not request.path.startswith(settings.STATIC_URL):
                # On a shared device the back button must not show pages after signing out.
                response.headers.setdefault("Cache-Control", "private, no-store")
            return response
        # Only a page that was asked for is worth coming back to.
        after = {"next": request.get_full_path()} if request.method == "GET" else {}
        return HttpResponseRedirect(f"{reverse('sign-in')}?{urlencode(after)}")


def is_open(path: str) -> bool:
    """Return whether a path is open to everyone on the network: the door itself and what it needs."""
    open_paths = {reverse("sign-in"), reverse("healthy"), reverse("household-ca")}
    return path in open_paths or path.startswith(settings.STATIC_URL)


def _mark() -> str:
    """Return what a signed-in session holds: it changes with the passphrase."""
    return hashlib.sha256(passphrase_file().read_bytes()).hexdigest()[:24]


def _device(request: HttpRequest) -> str:
    """Return what counts as one device: its address, or for IPv6 its /64, of which a device may use all."""
    text = str(request.META.get("REMOTE_ADDR", ""))
    try:
        address = ipaddress.ip_address(text)
    except ValueError:
        return text
    if isinstance(address, ipaddress.IPv6Address):
        if address.ipv4_mapped is not None:
            return str(address.ipv4_mapped)
        return str(ipaddress.ip_network((int(address), 64), strict=False).network_address)
    return str(address)
