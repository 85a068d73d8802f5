"""The addresses at the door."""

from django.urls import URLPattern, path

from pratique.web.serving import views

urlpatterns: list[URLPattern] = [
    path("sign-in/", views.sign_in, name="sign-in"),
    path("sign-out/", views.sign_out, name="sign-out"),
    path("household-ca.crt", views.household_ca, name="household-ca"),
    path("healthy/", views.healthy, name="healthy"),
]
