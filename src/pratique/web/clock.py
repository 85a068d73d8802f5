"""The keeper's day: every page shows times in the household's own zone."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from pratique.ledger.household import load_household


class KeepersDayMiddleware:
    """Loads the household once a request, as `request.household`, and makes its time zone the current one."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request inside the household's time zone."""
        if request.path.startswith("/static/"):
            return self._get_response(request)
        household = load_household()
        request.household = household  # type: ignore[attr-defined]
        with timezone.override(household.zone):
            return self._get_response(request)
