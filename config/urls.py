"""Every address of the site, by app."""

from django.urls import include, path

urlpatterns = [
    path("", include("accounts.urls")),
    path("accounts/", include("allauth.urls")),
    path("", include("evaluations.urls")),
]
