"""The server inside the program: gunicorn with one worker and a few threads over Django."""

import socket
import sys
from collections.abc import Callable
from threading import Thread
from typing import Any

from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]  # it carries no types

from pratique.web.serving.certificates import Pair
from pratique.web.serving.memory import settle_memory

THREADS = 8
LONGEST_ADDRESS = 8190  # the most gunicorn grants
_MAKING_READY = "Making the reckoning ready: about 20 seconds, once. The first pages wait for it."


class HouseholdServer(BaseApplication):  # type: ignore[misc]
    """Serves one home on one listening socket until it is told to stop."""

    def __init__(self, listening: socket.socket, *, certificate: Pair | None, ready: Callable[[], None]) -> None:
        self._listening = listening
        self._certificate = certificate
        self._ready = ready
        super().__init__()

    def load_config(self) -> None:
        """Set everything here: no file and no command line speaks for gunicorn."""
        settings: dict[str, Any] = {
            "bind": [f"fd://{self._listening.fileno()}"],
            "workers": 1,
            "worker_class": "gthread",
            "threads": THREADS,
            "timeout": 120,
            # Quick to stop: an entry is either wholly written by then or not at all.
            "graceful_timeout": 2,
            "keepalive": 15,
            # A phone that does not trust the certificate yet is told so itself; the terminal need not say it.
            "loglevel": "error",
            "control_socket_disable": True,
            # Marks on a picture travel in the address, and once more in the next request as where it came from.
            "limit_request_line": LONGEST_ADDRESS,
            "limit_request_field_size": 2 * LONGEST_ADDRESS,
            "when_ready": lambda _server: self._ready(),
        }
        if self._certificate is not None:
            settings |= {"certfile": str(self._certificate.certificate), "keyfile": str(self._certificate.key)}
        for name, value in settings.items():
            self.cfg.set(name, value)

    def load(self) -> Any:
        """Return the pages, with their static files in front."""
        from django.core.wsgi import get_wsgi_application  # noqa: PLC0415 - in the worker, after the fork

        application = get_wsgi_application()
        settle_memory()
        # Nobody should wait for the compiled loops at the first page that reckons.
        Thread(target=warm_up_beside, name="warm-up", daemon=True).start()
        return application


def warm_up_beside() -> None:
    """Make the loops of the reckoning ready while the first pages are served already, and say so where that is long."""
    from pratique.casework.reckoning.warming import is_warm, warm_up  # noqa: PLC0415 - loads the loops

    if not is_warm():
        sys.stderr.write(f"{_MAKING_READY}\n")
    warm_up()
