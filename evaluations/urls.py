"""Every address of an association's pages. One action a line; who may do it stands in
`accounts.permissions`."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from evaluations.views import (
    code_corrections,
    code_rows,
    codes,
    crew_ratings,
    crew_views,
    dead_balls,
    evaluation_checks,
    evaluations,
    film,
    findings,
    games,
    home,
    letters,
    live_log,
    logs,
    observations,
    releases,
    reviews,
    rubric_drafts,
    rubric_parts,
    rubrics,
    seasons,
    seasons_seen,
    sketches,
    verification,
)

app_name = "evaluations"

# Below /a/<association>/; a list for each stage of the work.
SEASON: list[URLPattern] = [
    path("a/<slug:association>/", home.home, name="home"),
    path("a/<slug:association>/overdue/", home.overdue, name="overdue"),
    path("a/<slug:association>/season/", seasons_seen.own, name="own_season"),
    path("a/<slug:association>/officials/", seasons_seen.officials, name="officials"),
    path("a/<slug:association>/officials/<int:pk>/", seasons_seen.official, name="official"),
    path("a/<slug:association>/findings/", findings.findings, name="findings"),
    path(
        "a/<slug:association>/findings/export/",
        findings.findings_export,
        name="findings_export",
    ),
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
    path("a/<slug:association>/observations/", observations.own, name="own_observations"),
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
_SIDE_BY_SIDE = _OBSERVATION + "side-by-side/"
_MISS = _SIDE_BY_SIDE + "<int:number>/<slug:rule>/"
CREW_VIEW: list[URLPattern] = [
    path(_SIDE_BY_SIDE, crew_views.crew_view, name="crew_view"),
    path(_MISS, crew_views.miss_move, name="miss_move"),
    path(_MISS + "take-back/", crew_views.miss_take_back, name="miss_take_back"),
]
_LOG = _OBSERVATION + "log/"
_DEAD_BALL = _LOG + "<int:number>/"
LOG: list[URLPattern] = [
    path(_LOG, logs.log, name="log"),
    path(_LOG + "file/", logs.log_file, name="log_file"),
    path(_LOG + "begin/", logs.log_begin, name="log_begin"),
    path(_LOG + "terms/", logs.log_terms, name="log_terms"),
    path(_LOG + "exchange/", logs.log_exchange, name="log_exchange"),
    path(_LOG + "end/", logs.log_end, name="log_end"),
    path(_LOG + "end/undo/", logs.log_end_undo, name="log_end_undo"),
    path(_LOG + "talk/", logs.talk_card, name="talk_card"),
    path(_LOG + "add/", dead_balls.dead_ball_add, name="dead_ball_add"),
    path(_DEAD_BALL, dead_balls.dead_ball, name="dead_ball"),
    path(_DEAD_BALL + "remove/", dead_balls.dead_ball_remove, name="dead_ball_remove"),
    path(_DEAD_BALL + "restore/", dead_balls.dead_ball_restore, name="dead_ball_restore"),
]
_SKETCH = _DEAD_BALL + "sketch/<slug:instant>/"
FLOOR: list[URLPattern] = [
    path(_SKETCH, sketches.sketch, name="sketch"),
    path(_SKETCH + "remove/", sketches.sketch_remove, name="sketch_remove"),
    path(_LOG + "film/", film.film, name="film"),
    path(_DEAD_BALL + "film/", film.film_desk, name="film_desk"),
    path(_DEAD_BALL + "eyes/", film.eyes, name="eyes"),
]
_LIVE = _OBSERVATION + "live/"
LIVE: list[URLPattern] = [
    path(_LIVE, live_log.live_log, name="live_log"),
    path(_LIVE + "whistle/", live_log.live_whistle, name="live_whistle"),
    path(_LIVE + "undo/", live_log.live_undo, name="live_undo"),
    path(_LIVE + "put-back/", live_log.live_put_back, name="live_put_back"),
    path(_LIVE + "note/", live_log.live_note, name="live_note"),
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
_RUBRICS = "a/<slug:association>/rubrics/"
_RUBRIC = _RUBRICS + "<int:pk>/"
_AREA = _RUBRIC + "area/<slug:key>/"
_CRITERION = _RUBRIC + "criterion/<slug:key>/"
RUBRIC: list[URLPattern] = [
    path(_RUBRICS, rubrics.rubrics, name="rubrics"),
    path(_RUBRICS + "seasons/<int:pk>/start/", rubrics.start, name="rubric_start"),
    path(_RUBRIC, rubrics.rubric, name="rubric"),
    path(_RUBRIC + "copy/", rubrics.copy, name="rubric_copy"),
    path(_RUBRIC + "publish/", rubrics.publish, name="rubric_publish"),
    path(_RUBRIC + "propose/", rubrics.propose, name="rubric_propose"),
    path(_RUBRIC + "approve/", rubrics.approve, name="rubric_approve"),
    path(_RUBRIC + "withdraw/", rubrics.withdraw, name="rubric_withdraw"),
    path(_RUBRIC + "weights/", rubric_drafts.weights, name="rubric_weights"),
    path(_RUBRIC + "words/", rubric_drafts.words, name="rubric_words"),
    path(_RUBRIC + "levels/", rubric_drafts.levels, name="rubric_levels"),
    path(_RUBRIC + "ceilings/", rubric_drafts.ceilings, name="rubric_ceilings"),
    path(
        _RUBRIC + "ceilings/<int:ceiling>/remove/",
        rubric_drafts.ceiling_remove,
        name="rubric_ceiling_remove",
    ),
    path(_RUBRIC + "start-over/", rubric_drafts.start_over, name="rubric_start_over"),
    path(_RUBRIC + "undo/", rubric_drafts.undo, name="rubric_undo"),
    path(_RUBRIC + "areas/", rubric_parts.areas, name="rubric_areas"),
    path(_RUBRIC + "areas/add/", rubric_parts.area_add, name="rubric_area_add"),
    path(_AREA, rubric_parts.area, name="rubric_area"),
    path(_AREA + "move/", rubric_parts.area_move, name="rubric_area_move"),
    path(_AREA + "remove/", rubric_parts.area_remove, name="rubric_area_remove"),
    path(_AREA + "add/", rubric_parts.criterion_add, name="rubric_criterion_add"),
    path(_CRITERION, rubric_parts.criterion, name="rubric_criterion"),
    path(_CRITERION + "move/", rubric_parts.criterion_move, name="rubric_criterion_move"),
    path(_CRITERION + "remove/", rubric_parts.criterion_remove, name="rubric_criterion_remove"),
]
_CODES = "a/<slug:association>/codes/"
_CODE = _CODES + "<int:pk>/"
_CODE_ROW = _CODE + "rows/<int:number>/"
CODE: list[URLPattern] = [
    path(_CODES, codes.code_list, name="code_list"),
    path(_CODES + "new/<int:crew>/", codes.code_new, name="code_new"),
    path(_CODES + "start/<slug:key>/", codes.code_start, name="code_start"),
    path(_CODE, codes.code, name="code"),
    path(_CODE + "copy/", codes.code_copy, name="code_copy"),
    path(_CODE + "heading/", codes.code_heading, name="code_heading"),
    path(_CODE + "rows/add/", code_rows.code_row_add, name="code_row_add"),
    path(_CODE_ROW, code_rows.code_row, name="code_row"),
    path(_CODE_ROW + "move/", code_rows.code_row_move, name="code_row_move"),
    path(_CODE_ROW + "remove/", code_rows.code_row_remove, name="code_row_remove"),
    path(_CODE + "undo/", code_rows.code_undo, name="code_undo"),
]
CORRECTION: list[URLPattern] = [
    path(_CODE + "compare/<int:other>/", code_corrections.code_compare, name="code_compare"),
    path(_CODE + "correct/", code_corrections.code_correct, name="code_correct"),
    path(_CODE + "correct/start/", code_corrections.code_correct_start, name="code_correct_start"),
    path(_CODE + "correct/apart/", code_corrections.code_correct_apart, name="code_correct_apart"),
    path(_CODE + "changes/", code_corrections.code_changed, name="code_changes"),
    path(_CODE + "changes/amend/", code_corrections.code_amend, name="code_amend"),
]
RELEASE: list[URLPattern] = [
    path("a/<slug:association>/waiting/", releases.waiting, name="waiting"),
    path(_OBSERVATION + "read/", releases.crew_read, name="crew_read"),
    path(_OBSERVATION + "release/", releases.release, name="release"),
    path(_EVALUATION + "return/", releases.form_return, name="form_return"),
]
_LETTER = "a/<slug:association>/letters/<int:pk>/"
_REVIEWS = "a/<slug:association>/reviews/"
LETTER: list[URLPattern] = [
    path(_LETTER, letters.letter, name="letter"),
    path(_LETTER + "pdf/", letters.letter_file, name="letter_pdf"),
    path(_LETTER + "acknowledge/", letters.letter_acknowledge, name="letter_acknowledge"),
    path(_LETTER + "respond/", letters.letter_respond, name="letter_respond"),
    path(_LETTER + "review/", letters.letter_review_ask, name="letter_review_ask"),
    path(_LETTER + "amend/", letters.letter_amend, name="letter_amend"),
    path(_LETTER + "withdraw/", letters.letter_withdraw, name="letter_withdraw"),
    path(_REVIEWS, reviews.reviews, name="reviews"),
    path(_REVIEWS + "<int:pk>/", reviews.review, name="review"),
    path(_REVIEWS + "<int:pk>/assign/", reviews.review_assign, name="review_assign"),
]
# For everybody: a letter's code.
PUBLIC: list[URLPattern] = [
    path("verify/", verification.verify, name="verify"),
    path("verify/<str:code>/", verification.verdict_page, name="verify"),
]

urlpatterns: list[URLPattern | URLResolver] = [
    *SEASON,
    *GAME,
    *OBSERVATION,
    *LOG,
    *FLOOR,
    *LIVE,
    *CREW_VIEW,
    *EVALUATION,
    *RUBRIC,
    *CODE,
    *CORRECTION,
    *RELEASE,
    *LETTER,
    *PUBLIC,
]
