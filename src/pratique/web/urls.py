"""Every page's address."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("pratique.web.serving.urls")),
    path("", include("pratique.web.setup.urls")),
    path("", include("pratique.web.bench.urls")),
    path("", include("pratique.web.writing.urls")),
    path("", include("pratique.web.entries.urls")),
    path("", include("pratique.web.outline.urls")),
    path("", include("pratique.web.measuring.urls")),
    path("", include("pratique.web.comparing.urls")),
    path("", include("pratique.web.reading.urls")),
]
handler404 = "pratique.web.errors.not_found"
handler500 = "pratique.web.errors.broken"
