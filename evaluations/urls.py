"""Every address of an association's pages. One action a line; who may do it stands in
`accounts.permissions`."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from evaluations.views import (
    crew_ratings,
    evaluation_checks,
    evaluations,
    games,
    home,
    observations,
    seasons,
    seasons_seen,
)

app_name = "evaluations"

# Below /a/<association>/; a list for each stage of the work.
SEASON: list[URLPattern] = [
    path("a/<slug:association>/", home.home, name="home"),
    path("a/<slug:association>/season/", seasons_seen.own, name="own_season"),
    path("a/<slug:association>/officials/", seasons_seen.officials, name="officials"),
    path("a/<slug:association>/officials/<int:pk>/", seasons_seen.official, name="official"),
]
_GAME = "a/<slug:association>/games/<int:pk>/"
_OBSERVATION = "a/<slug:association>/observations/<int:pk>/"
GAME: list[URLPattern] = [
    path("a/<slug:association>/seasons/", seasons.season_list, name="season_list"),
    path("a/<slug:association>/seasons/new/", seasons.season_new, name="season_new"),
    path("a/<slug:association>/seasons/<int:pk>/", seasons.season_edit, name="season_edit"),
    path("a/<slug:association>/games/", games.game_list, name="game_list"),
    path("a/<slug:association>/games/new/", games.game_new, name="game_new"),
    path(_GAME, games.game, name="game"),
    path(_GAME + "edit/", games.game_edit, name="game_edit"),
    path(_GAME + "move/", games.game_move, name="game_move"),
    path(_GAME + "crew/", games.game_crew, name="game_crew"),
    path(_GAME + "cancel/", games.game_cancel, name="game_cancel"),
    path(_GAME + "restore/", games.game_restore, name="game_restore"),
    path(_GAME + "observers/", observations.observation_assign, name="observation_assign"),
]
OBSERVATION: list[URLPattern] = [
    path(_OBSERVATION, observations.observation, name="observation"),
    path(_OBSERVATION + "open/", observations.observation_open, name="observation_open"),
    path(_OBSERVATION + "facts/", observations.observation_facts, name="observation_facts"),
    path(_OBSERVATION + "close/", observations.observation_close, name="observation_close"),
    path(_OBSERVATION + "reopen/", observations.observation_reopen, name="observation_reopen"),
    path(
        _OBSERVATION + "reassign/",
        observations.observation_reassign,
        name="observation_reassign",
    ),
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

urlpatterns: list[URLPattern | URLResolver] = [*SEASON, *GAME, *OBSERVATION, *EVALUATION]
