"""The address of the page on which a body is measured."""

from django.urls import URLPattern, path

from pratique.web.outline import views

urlpatterns: list[URLPattern] = [path("photos/<slug:sha256>/body/", views.outline_page, name="outline")]
