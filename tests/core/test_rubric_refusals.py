"""What is no rubric, and no rating of it, is refused with the field's name."""

from fractions import Fraction

import pytest

from evaluations.core.ratings import Rating, by_area
from evaluations.core.rubric import (
    AreaSpec,
    Band,
    CriterionSpec,
    FloorRule,
    RubricError,
    RubricSpec,
    Threshold,
)
from tests.core.examples import area, ceiling, form, rate

ONE_AREA = area("signals", 1, {"clock": 1})


@pytest.mark.parametrize("weight", [0, -1])
def test_a_weight_is_above_zero(weight: int) -> None:
    with pytest.raises(RubricError, match=r"criterion\[clock\].weight: must be above 0"):
        CriterionSpec("clock", Fraction(weight))
    with pytest.raises(RubricError, match=r"area\[signals\].weight: must be above 0"):
        area("signals", weight, {"clock": 1})


def test_weights_need_not_sum_to_a_hundred() -> None:
    rubric = RubricSpec((area("signals", 3, {"clock": 1}), area("routes", 1, {"table": 1})))
    assert rubric.area_share(rubric.areas[0]) == Fraction(3, 4)


def test_a_criterion_has_the_share_that_its_two_weights_give_it() -> None:
    rubric = RubricSpec((area("signals", 3, {"clock": 1, "type": 2}), area("routes", 1, {"a": 9})))
    assert rubric.criterion_share("type") == Fraction(3, 4) * Fraction(2, 3)


@pytest.mark.parametrize("share", [Fraction(0), Fraction(-1, 2), Fraction(11, 10)])
def test_an_area_counts_from_a_share_above_zero_and_at_most_one(share: Fraction) -> None:
    with pytest.raises(RubricError, match="minimum_share"):
        area("signals", 1, {"clock": 1}, minimum_share=share)


def test_areas_and_criteria_have_keys_and_an_area_has_criteria() -> None:
    with pytest.raises(RubricError, match="a criterion needs a key"):
        CriterionSpec("")
    with pytest.raises(RubricError, match="an area needs a key"):
        area("", 1, {"clock": 1})
    with pytest.raises(RubricError, match="at least one criterion"):
        AreaSpec("signals", Fraction(1), ())
    with pytest.raises(RubricError, match="at least one area"):
        RubricSpec(())


def test_no_key_is_there_twice() -> None:
    with pytest.raises(RubricError, match=r"area\[signals\]: is there twice"):
        RubricSpec((ONE_AREA, area("signals", 1, {"type": 1})))
    with pytest.raises(RubricError, match=r"criterion\[clock\]: is there twice"):
        RubricSpec((ONE_AREA, area("routes", 1, {"clock": 1})))
    with pytest.raises(RubricError, match=r"band\[low\]: is there twice"):
        RubricSpec((ONE_AREA,), bands=(Band("low", Fraction(0)), Band("low", Fraction(50))))


@pytest.mark.parametrize("lowers", [(), (10,), (0, 60, 40), (0, 50, 50), (0, 100)])
def test_bands_begin_at_zero_and_rise_to_below_a_hundred(lowers: tuple[int, ...]) -> None:
    bands = tuple(Band(f"band-{n}", Fraction(low)) for n, low in enumerate(lowers))
    with pytest.raises(RubricError, match="bands"):
        RubricSpec((ONE_AREA,), bands=bands)


@pytest.mark.parametrize("levels", [0, 1, 8])
def test_a_scale_has_two_to_seven_levels(levels: int) -> None:
    with pytest.raises(RubricError, match="levels: must be 2 to 7"):
        RubricSpec((ONE_AREA,), levels=levels)


@pytest.mark.parametrize("target", [1, 6])
def test_the_target_is_above_the_lowest_level_and_on_the_scale(target: int) -> None:
    with pytest.raises(RubricError, match="target_level: must be 2 to 5"):
        RubricSpec((ONE_AREA,), target_level=target)


@pytest.mark.parametrize("share", [Fraction(-1, 10), Fraction(11, 10)])
def test_the_share_that_must_be_seen_is_a_share(share: Fraction) -> None:
    with pytest.raises(RubricError, match="minimum_seen: must be 0 to 1"):
        RubricSpec((ONE_AREA,), minimum_seen=share)


@pytest.mark.parametrize(
    "cut_points",
    [
        ("0.3", "0.5", "0.8"),
        ("0.3", "0.5", "0.5", "1"),
        ("0.5", "0.3", "0.8", "1"),
        ("0", "0.3", "0.8", "1"),
        ("0.3", "0.5", "0.8", "1.1"),
    ],
)
def test_cut_points_are_one_fewer_than_levels_and_rise(cut_points: tuple[str, ...]) -> None:
    with pytest.raises(RubricError, match="cut_points: needs 4 rising shares"):
        RubricSpec((ONE_AREA,), cut_points=tuple(Fraction(c) for c in cut_points))


def test_a_ceiling_names_what_the_rubric_has() -> None:
    with pytest.raises(RubricError, match=r"ceiling\[0\]: names no criterion"):
        RubricSpec((ONE_AREA,), ceilings=(ceiling("facing", 50),))
    with pytest.raises(RubricError, match=r"ceiling\[0\]: names no area"):
        RubricSpec((ONE_AREA,), ceilings=(ceiling("clock", 50, "boxing_in"),))


@pytest.mark.parametrize("at_most", [-1, 101])
def test_a_ceiling_lies_on_the_scale_of_the_total(at_most: int) -> None:
    with pytest.raises(RubricError, match=r"ceiling\[0\].at_most: must be 0 to 100"):
        RubricSpec((ONE_AREA,), ceilings=(ceiling("clock", at_most),))


def test_a_rating_is_a_level_or_a_share_and_not_both() -> None:
    with pytest.raises(RubricError, match="not both"):
        Rating("clock", level=3, share=Fraction(1, 2))
    with pytest.raises(RubricError, match=r"rating\[clock\].share: must be 0 to 1"):
        Rating("clock", share=Fraction(3, 2))


@pytest.mark.parametrize("level", [0, -1, 6])
def test_a_level_is_on_the_scale(level: int) -> None:
    with pytest.raises(RubricError, match=r"rating\[clock\].level: must be 1 to 5"):
        by_area(form(), [Rating("clock", level=level)])


def test_a_criterion_is_rated_once_and_is_the_rubrics_own() -> None:
    rubric = form()
    with pytest.raises(RubricError, match=r"rating\[clock\]: is there twice"):
        by_area(rubric, (*rate(rubric, 3), Rating("clock", level=3)))
    with pytest.raises(RubricError, match=r"rating\[whistle\]: names no criterion"):
        by_area(rubric, [Rating("whistle", level=3)])


def by_film(key: str, rule: FloorRule, at: str) -> CriterionSpec:
    return CriterionSpec(key, thresholds=(Threshold(rule, Fraction(at)),))


@pytest.mark.parametrize(
    ("rule", "at"),
    [
        (FloorRule.VIEW_KEPT, "0"),
        (FloorRule.VIEW_KEPT, "1.01"),
        (FloorRule.BOXED_IN, "-0.1"),
        (FloorRule.APART, "181"),
        (FloorRule.ROUTE_CLEAR, "-1"),
        (FloorRule.FACED, "60001"),
    ],
)
def test_a_threshold_for_film_lies_within_its_unit(rule: FloorRule, at: str) -> None:
    with pytest.raises(RubricError, match=rf"criterion\[inside\].thresholds: {rule} must be"):
        by_film("inside", rule, at)


def test_no_way_through_and_no_time_unfaced_are_thresholds_too() -> None:
    assert by_film("inside", FloorRule.ROUTE_CLEAR, "0").counted == ("route_clear",)
    assert by_film("inside", FloorRule.FACED, "0").counted == ("faced",)


def test_a_rule_for_film_is_asked_for_once_a_criterion() -> None:
    twice = (Threshold(FloorRule.APART, Fraction(90)), Threshold(FloorRule.APART, Fraction(90)))
    with pytest.raises(RubricError, match="is there twice"):
        CriterionSpec("inside", thresholds=twice)


def test_a_rule_for_film_has_one_threshold_in_a_rubric() -> None:
    def rubric(*at: str) -> RubricSpec:
        criteria = tuple(by_film(f"c{n}", FloorRule.APART, one) for n, one in enumerate(at))
        return RubricSpec((AreaSpec("boxing", Fraction(1), criteria),))

    assert len(list(rubric("120", "120").criteria)) == 2
    with pytest.raises(RubricError, match=r"criterion\[c1\].thresholds: apart has another"):
        rubric("120", "90")
