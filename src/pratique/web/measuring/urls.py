"""The addresses of the pages on which a growth is measured."""

from django.urls import URLPattern, path

from pratique.web.measuring import views

urlpatterns: list[URLPattern] = [
    path("photos/<slug:sha256>/cover/", views.cover_page, name="measure-cover"),
    path("photos/<slug:sha256>/cover/seen.jpg", views.cover_seen, name="cover-seen"),
    path("photos/<slug:sha256>/points/", views.points_page, name="measure-points"),
    path("photos/<slug:sha256>/cells/", views.cells_page, name="measure-cells"),
    path("clips/<slug:sha256>/", views.clip_page, name="measure-clip"),
]
