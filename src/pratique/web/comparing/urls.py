"""The addresses of the comparison and of a tank without fish."""

from django.urls import URLPattern, path

from pratique.web.comparing import views

urlpatterns: list[URLPattern] = [
    path("passages/compare/", views.compare_page, name="compare"),
    path("passages/fallow/", views.fallow_page, name="fallow"),
]
