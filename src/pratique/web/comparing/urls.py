"""The address of the comparison."""

from django.urls import URLPattern, path

from pratique.web.comparing import views

urlpatterns: list[URLPattern] = [path("passages/compare/", views.compare_page, name="compare")]
