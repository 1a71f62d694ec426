"""Every address of an association's pages. One action a line; who may do it stands in
`accounts.permissions`."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from evaluations.views import crew_ratings, evaluation_checks, evaluations, home, seasons_seen

app_name = "evaluations"

# Below /a/<association>/; a list for each stage of the work.
SEASON: list[URLPattern] = [
    path("a/<slug:association>/", home.home, name="home"),
    path("a/<slug:association>/season/", seasons_seen.own, name="own_season"),
    path("a/<slug:association>/officials/", seasons_seen.officials, name="officials"),
    path("a/<slug:association>/officials/<int:pk>/", seasons_seen.official, name="official"),
]
_EVALUATION = "a/<slug:association>/evaluations/<int:pk>/"
_CREW = "a/<slug:association>/observations/<int:pk>/crew/"
EVALUATION: list[URLPattern] = [
    path(_EVALUATION, evaluations.evaluation_form, name="evaluation_form"),
    path(_EVALUATION + "save/", evaluations.evaluation_save, name="evaluation_save"),
    path(_EVALUATION + "words/", evaluations.evaluation_words, name="evaluation_words"),
    path(
        _EVALUATION + "words/save/",
        evaluations.evaluation_words_save,
        name="evaluation_words_save",
    ),
    path(_EVALUATION + "check/", evaluation_checks.evaluation_check, name="evaluation_check"),
    path(_EVALUATION + "submit/", evaluation_checks.evaluation_submit, name="evaluation_submit"),
    path(
        _EVALUATION + "coaching/",
        evaluation_checks.evaluation_coaching,
        name="evaluation_coaching",
    ),
    path(_CREW, crew_ratings.crew_form, name="crew_form"),
    path(_CREW + "save/", crew_ratings.crew_save, name="crew_save"),
]

urlpatterns: list[URLPattern | URLResolver] = [*SEASON, *EVALUATION]
