"""The addresses of the pages that are read: rounds, systems, animals, passages, courses, growths."""

from django.urls import URLPattern, path

from pratique.web.reading import views

urlpatterns: list[URLPattern] = [
    path("", views.rounds_page, name="rounds"),
    path("systems/", views.systems_page, name="systems"),
    path("systems/<str:key>/", views.system_page, name="system"),
    path("systems/<str:key>/<str:constituent>/", views.constituent_page, name="constituent"),
    path("animals/", views.animals_page, name="animals"),
    path("animals/<str:key>/", views.animal_page, name="animal"),
    path("animals/<str:key>/introduction/", views.introduction_page, name="introduction"),
    path("animals/<str:key>/pass/", views.pass_page, name="pass"),
    path("animals/<str:key>/pass.pdf", views.pass_file, name="pass-pdf"),
    path("passages/", views.passages_page, name="passages"),
    path("passages/<str:key>/", views.passage_page, name="passage"),
    path("courses/<str:key>/", views.course_page, name="course"),
    path("growths/", views.growths_page, name="growths"),
    path("growths/<str:key>/", views.growth_page, name="growth"),
]
