"""The addresses of settings and of the welcome."""

from django.urls import URLPattern, path

from pratique.web.setup import views

urlpatterns: list[URLPattern] = [
    path("welcome/", views.welcome, name="welcome"),
    path("more/", views.more, name="more"),
    path("settings/", views.settings_page, name="settings"),
    path("settings/author/", views.author, name="author"),
]
