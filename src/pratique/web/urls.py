"""Every page's address."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
