"""The keeper's day: every page shows times in the household's own zone, and a new household is set up first."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone

from pratique.ledger.household import load_household
from pratique.web.door import is_inside, is_open


class KeepersDayMiddleware:
    """Loads the household once a request, as `request.household`, and makes its time zone the current one.

    While nobody has set a household up, every page leads to the welcome page.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request inside the household's time zone."""
        needs_none = request.path.startswith(settings.STATIC_URL) or (is_open(request.path) and not is_inside(request))
        if needs_none or request.path == reverse("healthy"):
            return self._get_response(request)
        household = load_household()
        request.household = household  # type: ignore[attr-defined]
        welcome = reverse("welcome")
        if household.state is None and request.path != welcome and not is_open(request.path):
            return HttpResponseRedirect(welcome)
        with timezone.override(household.zone):
            return self._get_response(request)
