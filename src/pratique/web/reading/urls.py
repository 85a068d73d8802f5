"""The addresses of the pages that are read: rounds, systems, animals, passages, courses, growths."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
