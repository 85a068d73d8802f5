"""The addresses of the pages on which entries are written."""

from django.urls import URLPattern, path

from pratique.web.writing import views

urlpatterns: list[URLPattern] = [
    path("write/", views.hub, name="write"),
    path("write/<slug:name>/", views.form_page, name="form"),
]
