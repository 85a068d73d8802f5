"""The door's own pages: signing in and out, the household's certificate, and a sign of life."""

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from pratique.settings import CONFIG
from pratique.web import door
from pratique.web.serving.certificates import authority_file
from pratique.web.ways import safe_next


def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for the household's passphrase, and let in who knows it."""
    after = safe_next(request, default="/")
    if door.is_inside(request):
        return HttpResponseRedirect(after)
    problem = None
    if request.method == "POST":
        problem = door.try_passphrase(request, request.POST.get("passphrase", ""))
        if problem is None:
            return HttpResponseRedirect(after)
    context = {"problem": problem, "next": after, "offers_certificate": not CONFIG.plain_http}
    return render(request, "pratique/door/sign_in.html", context, status=422 if problem else 200)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Forget this device."""
    door.leave(request)
    return HttpResponseRedirect(reverse("sign-in"))


@require_safe
def household_ca(request: HttpRequest) -> HttpResponse:  # noqa: ARG001 - Django passes it
    """Give the certificate that a phone must trust to believe this household's pages; it holds no secret."""
    path = authority_file()
    if not path.exists():
        raise Http404
    response = HttpResponse(path.read_bytes(), content_type="application/x-x509-ca-cert")
    response.headers["Content-Disposition"] = 'attachment; filename="household-ca.crt"'
    return response


@require_safe
def healthy(request: HttpRequest) -> HttpResponse:  # noqa: ARG001 - Django passes it
    """Answer that the server is there."""
    return HttpResponse("ok", content_type="text/plain")
