"""Figures: where the shapes lie, and that page and letter draw the same ones."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from evaluations.core.drawing import Box, Dot, Drawing, Label, Shape, Stroke, Style
from evaluations.core.figures import SeasonDot, area_bar, level_scale, season_line, share_line
from evaluations.letters import to_svg
from evaluations.letters.pdf import PdfFile
from evaluations.letters.structure import Element, Role
from tests.letters.reading import pages

DOTS = (
    SeasonDot(52.0, "52", "12 October 2026"),
    SeasonDot(61.0, "61", "3 November 2026"),
    SeasonDot(68.0, "68", "10 November 2026"),
)
SEASON = season_line(DOTS, 60.3, 8.0, "Three totals that rise: 52, 61 and 68")


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)  # noqa: S314 - made by the line before


def only(drawing: Drawing, kind: type[Shape], style: Style) -> list[Shape]:
    return [s for s in drawing.shapes if isinstance(s, kind) and getattr(s, "style", "") == style]


@pytest.mark.parametrize(("value", "share"), [(0.0, 0.0), (50.0, 0.5), (100.0, 1.0), (120.0, 1.0)])
def test_an_area_bar_is_as_long_as_its_value(value: float, share: float) -> None:
    drawing = area_bar(value, None, "Signals")
    (bar,) = only(drawing, Box, Style.VALUE)
    assert isinstance(bar, Box)
    assert bar.width == pytest.approx(share * drawing.width)


def test_the_own_season_is_an_upright_line_at_its_mean() -> None:
    drawing = area_bar(40.0, 75.0, "Signals")
    (line,) = only(drawing, Stroke, Style.SEASON)
    assert isinstance(line, Stroke)
    assert {x for x, _y in line.points} == {0.75 * drawing.width}


def test_an_area_that_was_not_seen_enough_has_a_scale_and_no_bar() -> None:
    drawing = area_bar(None, None, "Signals: not enough seen")
    assert [type(shape) for shape in drawing.shapes] == [Stroke]


def test_a_level_is_a_dot_on_its_tick() -> None:
    places = []
    for position in (1, 3, 5):
        drawing = level_scale(5, position)
        (dot,) = only(drawing, Dot, Style.VALUE)
        assert isinstance(dot, Dot)
        ticks = [s.points[0][0] for s in drawing.shapes[1:6] if isinstance(s, Stroke)]
        assert dot.x == ticks[position - 1]
        places.append(dot.x)
    assert places == sorted(places)


def test_a_criterion_that_was_not_seen_has_no_dot() -> None:
    assert not only(level_scale(5, None), Dot, Style.VALUE)


@pytest.mark.parametrize(
    ("share", "low", "high"), [(0.6, 0.4, 0.8), (0.0, 0.0, 0.2), (1.0, 0.9, 1.0)]
)
def test_a_share_is_a_dot_on_the_line_of_its_interval(
    share: float, low: float, high: float
) -> None:
    drawing = share_line(share, low, high)
    (dot,) = only(drawing, Dot, Style.VALUE)
    line, *ends = only(drawing, Stroke, Style.SEASON)
    assert isinstance(dot, Dot) and isinstance(line, Stroke)
    nothing, everything = (s.points[0][0] for s in drawing.shapes[1:3] if isinstance(s, Stroke))
    along = [(x - nothing) / (everything - nothing) for x in (dot.x, *(x for x, _y in line.points))]
    assert along == pytest.approx([share, low, high])
    assert [s.points[0][0] for s in ends if isinstance(s, Stroke)] == [x for x, _y in line.points]


def test_a_season_rises_to_the_right_and_lies_in_its_margin() -> None:
    dots = [s for s in SEASON.shapes if isinstance(s, Dot)]
    assert [d.x for d in dots] == sorted(d.x for d in dots)
    assert [d.y for d in dots] == sorted((d.y for d in dots), reverse=True)
    (band,) = only(SEASON, Box, Style.MARGIN)
    (mean,) = only(SEASON, Stroke, Style.SEASON)
    assert isinstance(band, Box) and isinstance(mean, Stroke)
    assert mean.points[0][1] == pytest.approx(band.y + band.height / 2)


def test_one_evaluation_is_no_line() -> None:
    drawing = season_line(DOTS[:1], None, None, "One total: 52")
    assert not only(drawing, Stroke, Style.TREND)
    assert [s.text for s in drawing.shapes if isinstance(s, Label)] == ["52", "12 October 2026"]


def test_a_season_without_evaluations_is_an_empty_scale() -> None:
    assert {type(shape) for shape in season_line((), None, None, "").shapes} == {Stroke}


def _inside(shape: Shape, drawing: Drawing) -> bool:
    match shape:
        case Stroke(points, _):
            corners = list(points)
        case Box(x, y, width, height, _):
            corners = [(x, y), (x + width, y + height)]
        case Dot(x, y, radius, _):
            corners = [(x - radius, y - radius), (x + radius, y + radius)]
        case Label(x, y, _, _):
            corners = [(x, y)]
    return all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in corners)


@pytest.mark.parametrize(
    "drawing",
    [area_bar(100.0, 100.0, "x"), level_scale(7, 7), share_line(1.0, 0.0, 1.0), SEASON],
    ids=["bar", "scale", "share", "line"],
)
def test_nothing_lies_outside_its_drawing(drawing: Drawing) -> None:
    assert all(_inside(shape, drawing) for shape in drawing.shapes)


@pytest.mark.parametrize(
    "drawing",
    [area_bar(40.0, 75.0, "Signals"), level_scale(5, 2), share_line(0.6, 0.4, 0.8), SEASON],
)
def test_svg_is_small_and_passes_a_strict_policy(drawing: Drawing) -> None:
    svg = to_svg(drawing)
    assert len(svg) < 2500
    root = parsed(svg)
    names = {name for element in root.iter() for name in element.attrib}
    assert not names & {"style", "id", "onload", "href"}
    assert all(element.get("class", "").startswith("figure") for element in root.iter())
    assert len(list(root)) == len(drawing.shapes)


def test_svg_says_in_words_what_it_shows() -> None:
    named = parsed(to_svg(area_bar(40.0, None, 'Say "<40>" & more')))
    assert named.get("role") == "img" and named.get("aria-label") == 'Say "<40>" & more'
    assert parsed(to_svg(level_scale(5, 2))).get("aria-hidden") == "true"


def test_labels_in_svg_are_text_and_not_markup() -> None:
    dots = (SeasonDot(50.0, "<b>50</b>", "<script>"),)
    assert "&lt;script&gt;" in to_svg(season_line(dots, None, None, "x"))


def test_the_letter_draws_the_same_shapes() -> None:
    root = Element(Role.DOCUMENT, None)
    file = PdfFile(title="x", author="y", language="en", issued="2026-11-12", root=root)
    ink = file.page(700, 200)
    ink.begin(Element(Role.FIGURE, root, alt=SEASON.alt))
    ink.drawing(SEASON, 10, 10)
    ink.end()
    operators = ink.content()
    assert len(re.findall(rb" f$", operators, re.M)) == 1 + len(DOTS)
    assert len(re.findall(rb" S$", operators, re.M)) == 4
    assert pages(file.save()) == ["52 61 68 12 October 2026 10 November 2026"]
