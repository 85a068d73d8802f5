"""The addresses of the bench."""

from django.urls import URLPattern, path

from pratique.web.bench import views

urlpatterns: list[URLPattern] = [
    path("bench/", views.bench, name="bench"),
    path("bench/<slug:name>/", views.card, name="bench-card"),
]
