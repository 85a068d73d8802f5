"""The way on from a page: where to go next, never to another host."""

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def safe_next(request: HttpRequest, *, default: str) -> str:
    """Return the page the request asks to be led to afterwards, or the default where that is none of ours."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    is_ours = wanted.startswith("/") and url_has_allowed_host_and_scheme(wanted, allowed_hosts=None)
    return wanted if is_ours else default
