"""The Django app that holds templates, static files and pages."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Registers the web edge."""

    name = "pratique.web"
    label = "web"
