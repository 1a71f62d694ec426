"""The scorer gives what others published: weighted sums, grades, and a grade with a part left out.

A mark of 93 of 100 is a criterion of which 0.93 was met; the parts of a grade are areas.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from evaluations.core.printing import printed
from evaluations.core.ratings import Rating
from evaluations.core.rubric import AreaSpec, CriterionSpec, RubricSpec
from evaluations.core.scoring import score
from evaluations.core.season import margin

RubricOf = Callable[[Sequence[Fraction]], RubricSpec]

HERE = Path(__file__).parent


def published(name: str) -> dict[str, Any]:
    """The file's figures, decimals to the last digit."""
    text = (HERE / f"{name}.json").read_text(encoding="utf-8")
    figures: dict[str, Any] = json.loads(text, parse_float=Fraction)
    return figures


def areas_of_one(weights: Sequence[Fraction]) -> RubricSpec:
    """One area for each weight, each with a single criterion."""
    return RubricSpec(
        tuple(
            AreaSpec(f"a{n}", Fraction(w), (CriterionSpec(f"c{n}"),)) for n, w in enumerate(weights)
        )
    )


def one_area(weights: Sequence[Fraction]) -> RubricSpec:
    """One area with a criterion for each weight."""
    criteria = tuple(CriterionSpec(f"c{n}", Fraction(w)) for n, w in enumerate(weights))
    return RubricSpec((AreaSpec("all", Fraction(1), criteria),))


def marked(marks: Sequence[Fraction | int | None]) -> list[Rating]:
    """Marks of 100, None where there is none."""
    return [
        Rating(f"c{n}", share=None if mark is None else Fraction(mark) / 100)
        for n, mark in enumerate(marks)
    ]


in_either_way = pytest.mark.parametrize("rubric_of", [areas_of_one, one_area])


@in_either_way
def test_a_weighted_sum_is_the_published_one_with_its_tie(rubric_of: RubricOf) -> None:
    example = published("weighted_sum_three_options")
    rubric = rubric_of(example["weights"])
    totals = {name: score(rubric, marked(v)).total for name, v in example["options"].items()}
    assert totals == example["totals"]
    first, second = example["tie"]
    assert totals[first] == totals[second] == max(t for t in totals.values() if t is not None)


@in_either_way
def test_a_course_grade_is_the_published_one(rubric_of: RubricOf) -> None:
    example = published("course_grade_three_parts")
    total = score(rubric_of(example["weights"]), marked(example["marks"])).total
    assert total == example["total"]


@in_either_way
def test_a_part_not_yet_graded_leaves_its_weight_to_the_others(rubric_of: RubricOf) -> None:
    example = published("course_grade_renormalised")
    rubric = rubric_of(example["weights"])
    marks = example["marks"]
    assert score(rubric, marked(marks)).total == example["all_parts"]
    without_the_last = score(rubric, marked([*marks[:-1], None]))
    assert without_the_last.total == example["without_the_last"]
    assert without_the_last.share_seen == Fraction(3, 4)


def test_the_interval_of_a_mean_is_the_published_one() -> None:
    example = published("mean_confidence_limits")
    mean, deviation, n = example["mean"], example["standard_deviation"], example["observations"]
    # As many above as below by one standard deviation, and one at the mean: n figures with
    # exactly the published mean and standard deviation.
    pairs = (n - 1) // 2
    figures = [mean, *[mean + deviation] * pairs, *[mean - deviation] * pairs]
    half_width = margin(figures)
    assert half_width is not None
    # To a unit of the last published digit: the deviation itself is rounded there.
    assert float(mean) - half_width == pytest.approx(float(example["lower"]), abs=1e-6)
    assert float(mean) + half_width == pytest.approx(float(example["upper"]), abs=1e-6)
    assert half_width / float(deviation) * n**0.5 == pytest.approx(float(example["t"]), abs=5e-5)


@pytest.mark.parametrize("file", sorted(HERE.glob("*.json")), ids=lambda path: path.stem)
def test_every_published_figure_names_its_source(file: Path) -> None:
    figures = published(file.stem)
    assert figures["source"]
    assert figures["how_verified"]


def test_a_published_grade_prints_as_published() -> None:
    example = published("course_grade_three_parts")
    total = score(areas_of_one(example["weights"]), marked(example["marks"])).total
    assert total is not None
    assert printed(total) == Fraction("90.1")
