"""The addresses of the ledger's history and of single entries."""

from django.urls import URLPattern, path

from pratique.web.entries import views

urlpatterns: list[URLPattern] = [
    path("ledger/", views.history_page, name="ledger"),
    path("undo/", views.undo, name="undo"),
]
