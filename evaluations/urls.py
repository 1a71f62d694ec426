"""Every address of an association's pages. One action a line; who may do it stands in
`accounts.permissions`."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from evaluations.views import home, seasons_seen

app_name = "evaluations"

# Below /a/<association>/; a list for each stage of the work.
SEASON: list[URLPattern] = [
    path("a/<slug:association>/", home.home, name="home"),
    path("a/<slug:association>/season/", seasons_seen.own, name="own_season"),
    path("a/<slug:association>/officials/", seasons_seen.officials, name="officials"),
    path("a/<slug:association>/officials/<int:pk>/", seasons_seen.official, name="official"),
]

urlpatterns: list[URLPattern | URLResolver] = [*SEASON]
