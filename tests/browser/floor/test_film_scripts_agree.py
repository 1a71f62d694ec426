"""The video desk's scripts count seconds and find the floor as core does."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page

from evaluations.core.floor.eyes import DeadTime, Facing, Mark, ledger
from evaluations.core.floor.homography import HomographyError, fit, floor_error, to_floor
from evaluations.core.games import POSITIONS

SCRIPTS: Final = Path(__file__).parents[3] / "evaluations" / "static" / "evaluations" / "js"
LOAD: Final = """async ([name, source]) => {
  const address = URL.createObjectURL(new Blob([source], {type: "text/javascript"}));
  window[name] = await import(address);
}"""
BY_SCRIPT: Final = """([pixels, floor, pixel]) => {
  const found = homography.fit(pixels, floor);
  if (found.refused) return found;
  const place = homography.toFloor(found, pixel);
  return {
    place,
    residual: found.residual,
    error: place && homography.floorError(found, pixel),
    back: place && homography.toPixel(found, place),
  };
}"""
MODEST: Final = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)

Pair = tuple[float, float]
COURT: Final[list[Pair]] = [(0.0, 0.0), (28.0, 0.0), (28.0, 15.0), (0.0, 15.0)]
SEEN: Final[list[Pair]] = [(100.0, 500.0), (700.0, 480.0), (620.0, 200.0), (180.0, 210.0)]
CENTRE: Final[Pair] = (14.0, 7.5)
CENTRE_SEEN: Final[Pair] = (400.0, 330.0)

off = st.floats(-40, 40)
times = st.integers(-20, 220)


@pytest.fixture(scope="module")
def scripts(browser: Browser) -> Iterator[Page]:
    """An empty page that has eyes.js and homography.js, as `eyes` and `homography`."""
    page = browser.new_page()
    for name in ("eyes", "homography"):
        page.evaluate(LOAD, [name, (SCRIPTS / f"{name}.js").read_text(encoding="utf-8")])
    yield page
    page.close()


@st.composite
def dead_times(draw: st.DrawFn) -> DeadTime:
    crew = draw(st.sampled_from([2, 3]))
    members = st.sampled_from(POSITIONS[crew])
    ends = st.none() | times
    marks = st.builds(Mark, members, st.sampled_from(Facing), times, ends)
    return DeadTime(
        crew=crew,
        whistle=0,
        live=draw(st.none() | st.integers(0, 200)),
        report_ended=draw(st.none() | st.integers(0, 220)),
        caller=draw(st.none() | members),
        marks=tuple(draw(st.lists(marks, max_size=9))),
    )


@MODEST
@given(time=dead_times())
def test_any_marks_make_the_same_ledger(scripts: Page, time: DeadTime) -> None:
    core = ledger(time)
    script: dict[str, Any] = scripts.evaluate(
        "(time) => eyes.ledger(time)",
        {
            "members": list(POSITIONS[time.crew]),
            "whistle": time.whistle,
            "live": time.live,
            "reportEnded": time.report_ended,
            "caller": time.caller,
            "marks": [mark._asdict() for mark in time.marks],
        },
    )
    assert (script["start"], script["end"]) == (core.start, core.end)
    for member, band in core.officials.items():
        assert script["officials"][member] == [stretch._asdict() for stretch in band]
    assert script["cover"] == [stretch._asdict() for stretch in core.cover]
    assert script["gaps"] == [gap._asdict() for gap in core.gaps]
    assert script["sums"] == (core.sums and core.sums._asdict())
    assert script["longest"] == (core.longest and core.longest._asdict())


def by_script(page: Page, clicks: list[Pair], floor: list[Pair], pixel: Pair) -> dict[str, Any]:
    points = ([{"x": x, "y": y} for x, y in pairs] for pairs in (clicks, floor))
    x, y = pixel
    found: dict[str, Any] = page.evaluate(BY_SCRIPT, [*points, {"x": x, "y": y}])
    return found


@MODEST
@given(
    moved=st.lists(st.tuples(off, off), min_size=4, max_size=4),
    fifth=st.none() | st.tuples(st.floats(-20, 20), st.floats(-9, 9)),
    pixel=st.tuples(st.floats(150, 650), st.floats(250, 450)),
)
def test_any_clicks_find_the_same_floor(
    scripts: Page, moved: list[Pair], fifth: Pair | None, pixel: Pair
) -> None:
    clicks = [(x + dx, y + dy) for (x, y), (dx, dy) in zip(SEEN, moved, strict=True)]
    floor = list(COURT)
    if fifth is not None:
        clicks.append((CENTRE_SEEN[0] + fifth[0], CENTRE_SEEN[1] + fifth[1]))
        floor.append(CENTRE)
    core = fit(clicks, floor)
    script = by_script(scripts, clicks, floor, pixel)
    try:
        x, y = to_floor(core, pixel)
    except HomographyError:
        assert script["place"] is None
        return
    # Near the horizon a pixel is kilometres, and no figure is worth comparing.
    assume(abs(x) + abs(y) < 1_000)
    assert script["place"]["x"] == pytest.approx(x, rel=1e-6, abs=1e-6)
    assert script["place"]["y"] == pytest.approx(y, rel=1e-6, abs=1e-6)
    assert script["error"] == pytest.approx(floor_error(core, pixel), rel=1e-4)
    assert (script["residual"] is None) == (core.residual is None)
    assert (script["residual"] or 0) == pytest.approx(core.residual or 0, rel=1e-6, abs=1e-6)
    assert script["back"]["x"] == pytest.approx(pixel[0], abs=1e-4)
    assert script["back"]["y"] == pytest.approx(pixel[1], abs=1e-4)


@pytest.mark.parametrize("order", list(permutations(range(4))))
def test_crossed_clicks_are_refused_by_both(scripts: Page, order: tuple[int, ...]) -> None:
    clicks = [SEEN[n] for n in order]
    script = by_script(scripts, clicks, COURT, CENTRE_SEEN)
    # Turned as a whole they might be what a camera at another side sees.
    turned = order in [(0, 1, 2, 3), (1, 2, 3, 0), (2, 3, 0, 1), (3, 0, 1, 2)]
    if turned:
        fit(clicks, COURT)
        assert "refused" not in script
    else:
        with pytest.raises(HomographyError, match="another order"):
            fit(clicks, COURT)
        assert script == {"refused": "crossed"}


@pytest.mark.parametrize(
    ("clicks", "why"),
    [
        (SEEN[:3], "few"),
        ([(100.0, 500.0), (300.0, 500.0), (500.0, 500.0), (180.0, 210.0)], "in_line"),
        ([SEEN[0], SEEN[0], SEEN[2], SEEN[3]], "in_line"),
    ],
    ids=["three", "in a line", "on one spot"],
)
def test_clicks_that_set_no_floor_are_refused_by_both(
    scripts: Page, clicks: list[Pair], why: str
) -> None:
    floor = COURT[: len(clicks)]
    assert by_script(scripts, clicks, floor, CENTRE_SEEN) == {"refused": why}
    with pytest.raises(HomographyError):
        fit(clicks, floor)
