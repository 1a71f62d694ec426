"""What an admin sets in a draft: what is stored, what is refused, and that nobody overwrites."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from accounts.models import AuditEntry
from evaluations.core.rubric import CriterionWording, FloorRule, Threshold
from evaluations.core.rubric_content import BandContent
from evaluations.models import Rubric
from evaluations.queries.rubrics import rubric_content, rubric_spec, thresholds_of
from evaluations.services.errors import Refused, StaleVersion
from evaluations.services.rubric_edits import (
    AreaWeight,
    remove_ceiling,
    set_area_labels,
    set_ceiling,
    set_criterion,
    set_levels,
    set_weights,
    set_words,
)
from evaluations.services.rubrics import propose, undo_removal
from evaluations.services.shipped_rubric import add_shipped_rubric
from tests.factories.accounts import NOW, Cast
from tests.factories.evaluations import published_rubric, season_of


@pytest.fixture
def draft(cast: Cast) -> Rubric:
    return add_shipped_rubric(season=season_of(cast.association), by=cast.admin, now=NOW)


def weights(draft: Rubric, cast: Cast, **changes: Any) -> Rubric:
    """Save the weights page with something changed."""
    values: dict[str, Any] = {
        "areas": {},
        "criteria": {},
        "target_level": 4,
        "minimum_seen": Decimal("0.7"),
        "version": draft.version,
        "by": cast.admin,
        "now": NOW,
        **changes,
    }
    return set_weights(rubric=draft, **values)


def area(weight: str, share: str = "0.5", needed: bool = False) -> AreaWeight:
    return AreaWeight(Decimal(weight), Decimal(share), needed)


def a_criterion(draft: Rubric) -> str:
    return next(rubric_content(draft).criteria).key


def test_weights_and_thresholds_are_stored(draft: Rubric, cast: Cast) -> None:
    key = a_criterion(draft)
    weights(
        draft,
        cast,
        areas={"signals": area("12.5", "0.75", needed=True)},
        criteria={key: Decimal("2.5")},
        target_level=3,
        minimum_seen=Decimal("0.6"),
    )
    spec = rubric_spec(Rubric.objects.get(pk=draft.pk))
    signals = next(a for a in spec.areas if a.key == "signals")
    assert (signals.weight, signals.minimum_share) == (Fraction("12.5"), Fraction("0.75"))
    assert signals.needed
    assert next(spec.criteria).weight == Fraction("2.5")
    assert (spec.target_level, spec.minimum_seen) == (3, Fraction("0.6"))


@pytest.mark.parametrize("weight", ["0", "-1", "NaN", "Infinity", "-Infinity", "0.001"])
def test_a_weight_that_is_none_is_refused(draft: Rubric, cast: Cast, weight: str) -> None:
    with pytest.raises(ValidationError):
        weights(draft, cast, areas={"signals": area(weight)})
    with pytest.raises(ValidationError):
        weights(draft, cast, criteria={a_criterion(draft): Decimal(weight)})
    assert rubric_content(draft) == rubric_content(Rubric.objects.get(pk=draft.pk))


@pytest.mark.parametrize("level", [0, 1, 6])
def test_a_target_level_outside_the_levels_is_refused(
    draft: Rubric, cast: Cast, level: int
) -> None:
    with pytest.raises(Refused, match="target level"):
        weights(draft, cast, target_level=level)


def test_a_refused_save_leaves_the_version_alone(draft: Rubric, cast: Cast) -> None:
    with pytest.raises(Refused):
        weights(draft, cast, areas={"signals": area("40")}, target_level=1)
    stored = Rubric.objects.get(pk=draft.pk)
    assert stored.version == draft.version
    assert stored.areas.get(key="signals").weight == 20


def test_the_second_of_two_saves_from_one_page_is_refused(draft: Rubric, cast: Cast) -> None:
    weights(draft, cast, areas={"signals": area("40")})
    with pytest.raises(StaleVersion):
        weights(draft, cast, areas={"signals": area("10")}, by=cast.second_admin)
    assert draft.areas.get(key="signals").weight == 40


def test_a_proposed_rubric_is_not_edited(draft: Rubric, cast: Cast) -> None:
    proposed = propose(rubric=draft, version=draft.version, by=cast.admin, now=NOW)
    with pytest.raises(Refused, match="Withdraw the proposal"):
        weights(proposed, cast, areas={"signals": area("40")})


def test_a_published_rubric_is_locked(cast: Cast) -> None:
    published = published_rubric(season_of(cast.association), cast.admin)
    with pytest.raises(Refused, match="locked"):
        weights(published, cast, areas={"signals": area("40")})
    with pytest.raises(Refused, match="locked"):
        set_levels(rubric=published, version=published.version, levels=3, by=cast.admin, now=NOW)


def test_only_admins_of_the_association_edit(draft: Rubric, cast: Cast) -> None:
    for stranger in (cast.observer, cast.official, cast.board, cast.other_admin):
        with pytest.raises(Refused, match="Only an admin"):
            weights(draft, cast, by=stranger)


def test_a_key_that_is_gone_is_refused(draft: Rubric, cast: Cast) -> None:
    with pytest.raises(Refused, match="not in the rubric any more"):
        weights(draft, cast, criteria={"no-such": Decimal(1)})


def test_the_audit_entry_says_who_did_what_and_nothing_that_was_written(
    draft: Rubric, cast: Cast
) -> None:
    weights(draft, cast, areas={"signals": area("40")})
    entry = AuditEntry.objects.latest("id")
    assert (entry.action, entry.actor) == ("rubric.weights_changed", cast.admin.user)
    assert entry.details == {"version": 2, "state": "draft"}


def words(draft: Rubric, cast: Cast, **changes: Any) -> Rubric:
    content = rubric_content(draft)
    values: dict[str, Any] = {
        "note": content.note,
        "mechanics": content.mechanics,
        "level_words": content.level_words,
        "cut_points": content.cut_points,
        "minimum_count": content.minimum_count,
        "code_of_two": draft.code_of_two,
        "code_of_three": draft.code_of_three,
        "bands": content.bands,
        "version": draft.version,
        "by": cast.admin,
        "now": NOW,
        **changes,
    }
    return set_words(rubric=draft, **values)


def test_words_bands_and_counts_are_stored(draft: Rubric, cast: Cast) -> None:
    words(
        draft,
        cast,
        mechanics="  State manual, \n 4th edition ",
        level_words={"en": ["never", "", "mostly", "nearly always", "always"]},
        cut_points=[Decimal("0.2"), Decimal("0.5"), Decimal("0.75"), Decimal(1)],
        bands=[
            BandContent("", Decimal("60.5"), {"en": "Ready to go", "es": ""}),
            BandContent("foundation", Decimal(0), {"en": "first", "es": "primera"}),
        ],
    )
    content = rubric_content(Rubric.objects.get(pk=draft.pk))
    assert content.mechanics == "State manual, 4th edition"
    assert content.level_words == {"en": ("never", "", "mostly", "nearly always", "always")}
    assert content.cut_points[0] == Decimal("0.2")
    assert [(b.key, b.lower, dict(b.names)) for b in content.bands] == [
        ("foundation", 0, {"en": "first", "es": "primera"}),
        ("ready-to-go", Decimal("60.5"), {"en": "Ready to go"}),
    ]


def test_bands_begin_at_0(draft: Rubric, cast: Cast) -> None:
    with pytest.raises(Refused, match="lowest band begins at 0"):
        words(draft, cast, bands=[BandContent("", Decimal(10), {"en": "all"})])


def test_counts_rise(draft: Rubric, cast: Cast) -> None:
    falling = [Decimal("0.5"), Decimal("0.4"), Decimal("0.8"), Decimal(1)]
    with pytest.raises(Refused, match="must rise"):
        words(draft, cast, cut_points=falling)


def test_two_new_bands_of_one_name_are_kept_apart(draft: Rubric, cast: Cast) -> None:
    same = [BandContent("", Decimal(n), {"en": "Good"}) for n in (0, 50)]
    words(draft, cast, bands=same)
    assert [b.key for b in rubric_content(draft).bands] == ["good", "good-2"]


def test_fewer_levels_keep_the_words_that_go_and_give_them_back(draft: Rubric, cast: Cast) -> None:
    before = rubric_content(draft)
    fewer = set_levels(rubric=draft, version=draft.version, levels=3, by=cast.admin, now=NOW)
    content = rubric_content(fewer)
    assert (content.levels, content.target_level) == (3, 3)
    assert content.cut_points == (Decimal("0.5"), Decimal("1"))
    assert content.wording("en", "en", "").level_words == ("seldom", "at times", "usually")
    back = set_levels(rubric=fewer, version=fewer.version, levels=5, by=cast.admin, now=NOW)
    assert rubric_content(back) == replace(before, target_level=3)


@pytest.mark.parametrize("levels", [0, 1, 8])
def test_there_are_2_to_7_levels(draft: Rubric, cast: Cast, levels: int) -> None:
    with pytest.raises((Refused, ValidationError)):
        set_levels(rubric=draft, version=draft.version, levels=levels, by=cast.admin, now=NOW)
    assert Rubric.objects.get(pk=draft.pk).levels == 5


def test_a_ceiling_is_set_replaced_removed_and_put_back(draft: Rubric, cast: Cast) -> None:
    key = a_criterion(draft)

    def set_to(at_most: int, area: str | None) -> None:
        draft.refresh_from_db()
        set_ceiling(
            rubric=draft,
            version=draft.version,
            criterion=key,
            area=area,
            at_most=Decimal(at_most),
            by=cast.admin,
            now=NOW,
        )

    set_to(60, None)
    set_to(50, "signals")
    set_to(40, None)
    assert {(c.area, c.at_most) for c in rubric_spec(draft).ceilings} == {
        (None, Fraction(40)),
        ("signals", Fraction(50)),
    }
    draft.refresh_from_db()
    total = draft.ceilings.get(area=None)
    removed = remove_ceiling(
        rubric=draft, version=draft.version, ceiling=total.pk, by=cast.admin, now=NOW
    )
    assert [c.area for c in rubric_spec(draft).ceilings] == ["signals"]
    undo_removal(rubric=draft, version=removed.version, by=cast.admin, now=NOW)
    assert len(rubric_spec(draft).ceilings) == 2


def test_an_area_is_renamed_in_each_language(draft: Rubric, cast: Cast) -> None:
    labels = {"en": " Signs ", "es": ""}
    set_area_labels(
        rubric=draft,
        version=draft.version,
        area="signals",
        labels=labels,
        by=cast.admin,
        now=NOW,
    )
    signals = rubric_content(draft).area("signals")
    assert signals and dict(signals.labels) == {"en": "Signs"}


def texts(draft: Rubric, cast: Cast, wording: CriterionWording) -> Rubric:
    return set_criterion(
        rubric=draft,
        version=draft.version,
        criterion=a_criterion(draft),
        texts={"es": wording},
        findings=("full_stop",),
        thresholds={},
        by=cast.admin,
        now=NOW,
    )


WORDING = CriterionWording("Quieto", "", "Uno.", "Dos.", "Tres.", "Cuatro.", ("a", "b"))


def test_texts_of_one_language_are_stored_and_the_other_stays(draft: Rubric, cast: Cast) -> None:
    before = next(rubric_content(draft).criteria).texts["en"]
    texts(draft, cast, replace(WORDING, why="Dos\r\n  líneas."))
    after = next(rubric_content(draft).criteria).texts
    assert after["es"] == replace(WORDING, why="Dos líneas.")
    assert after["en"] == before


def criterion(draft: Rubric, cast: Cast, *findings: str, **thresholds: str) -> Rubric:
    return set_criterion(
        rubric=draft,
        version=draft.version,
        criterion=a_criterion(draft),
        texts={},
        findings=findings,
        thresholds={FloorRule(rule): Decimal(at) for rule, at in thresholds.items()},
        by=cast.admin,
        now=NOW,
    )


def test_thresholds_for_film_are_stored_exactly(draft: Rubric, cast: Cast) -> None:
    criterion(draft, cast, "full_stop", faced="1500", view_kept="0.8")
    draft.refresh_from_db()
    spec = next(rubric_spec(draft).criteria)
    assert spec.thresholds == (
        Threshold(FloorRule.VIEW_KEPT, Fraction(4, 5)),
        Threshold(FloorRule.FACED, Fraction(1500)),
    )
    assert spec.counted == ("full_stop", "view_kept", "faced")
    assert thresholds_of(draft) == {t.rule: t.at for t in spec.thresholds}


def test_a_threshold_beyond_its_unit_is_refused_and_nothing_changes(
    draft: Rubric, cast: Cast
) -> None:
    with pytest.raises(Refused, match="threshold for film"):
        criterion(draft, cast, "full_stop", boxed_in="1.2")
    assert next(rubric_spec(draft).criteria).thresholds == ()


def test_counted_findings_are_stored_once_each_in_the_order_of_the_rules(
    draft: Rubric, cast: Cast
) -> None:
    before = next(rubric_content(draft).criteria).texts
    criterion(draft, cast, "eyes_kept", "full_stop", "eyes_kept")
    after = next(rubric_content(draft).criteria)
    assert after.findings == ("full_stop", "eyes_kept")
    assert after.texts == before


def test_a_finding_that_no_rule_has_is_refused(draft: Rubric, cast: Cast) -> None:
    before = next(rubric_content(draft).criteria).findings
    with pytest.raises(Refused, match="none that a log has"):
        criterion(draft, cast, "full_stop", "whistle_blown")
    assert next(rubric_content(draft).criteria).findings == before


@pytest.mark.parametrize("number", [0, 51])
def test_a_number_of_findings_out_of_range_is_refused(
    draft: Rubric, cast: Cast, number: int
) -> None:
    with pytest.raises(ValidationError):
        words(draft, cast, minimum_count=number)
    draft.refresh_from_db()
    assert draft.minimum_count == 5


def test_a_language_without_any_text_is_taken_away(draft: Rubric, cast: Cast) -> None:
    texts(draft, cast, CriterionWording("", "", "", "", "", "", ("", "")))
    assert set(next(rubric_content(draft).criteria).texts) == {"en"}


@pytest.mark.parametrize(
    "over",
    [
        {"standard": "x" * 331},
        {"standard": "x" * 170, "why": "y" * 170},
        {"levels": ("x" * 121,)},
        {"label": "x" * 61},
        {"hint": "x" * 91},
    ],
)
def test_a_text_over_its_budget_is_refused(draft: Rubric, cast: Cast, over: dict[str, Any]) -> None:
    with pytest.raises(Refused, match="take away"):
        texts(draft, cast, replace(WORDING, **over))
