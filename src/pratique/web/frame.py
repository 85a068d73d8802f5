"""What every page's frame needs: the household's name, the day, and who is writing."""

from django.http import HttpRequest
from django.utils import timezone

from pratique.ledger.household import Household
from pratique.settings import CONFIG


def page_frame(request: HttpRequest) -> dict[str, object]:
    """Return the template context that every page shares."""
    household: Household | None = getattr(request, "household", None)
    return {
        "household": household.state if household else None,
        "today": timezone.localdate(),
        "author": request.session.get("author", "keeper") if hasattr(request, "session") else "keeper",
        "is_plain_http_on_lan": CONFIG.lan and CONFIG.plain_http,
    }
