"""The addresses of the ledger's history, of single entries and of pictures."""

from django.urls import URLPattern, path

from pratique.web.entries import photos, views

urlpatterns: list[URLPattern] = [
    path("ledger/", views.history_page, name="ledger"),
    path("entries/<uuid:entry_id>/", views.entry_page, name="entry"),
    path("entries/<uuid:entry_id>/amend/", views.amend_page, name="amend"),
    path("entries/<uuid:entry_id>/withdraw/", views.withdraw_page, name="withdraw"),
    path("undo/", views.undo, name="undo"),
    path("photos/<slug:sha256>", photos.photo_file, name="photo"),
    path("photos/<slug:sha256>/", photos.photo_page, name="photo-page"),
]
