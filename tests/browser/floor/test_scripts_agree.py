"""The pages' scripts measure as core does: what is shown while drawing is what is stored."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from playwright.sync_api import Browser, Page

from evaluations.core.floor.measures import Measures, measure
from evaluations.core.floor.sketch import Sketch
from tests.core.floor.sketches import sketches

SCRIPTS = Path(__file__).parents[3] / "evaluations" / "static" / "evaluations" / "js"
LOAD = """async ([name, source]) => {
  const address = URL.createObjectURL(new Blob([source], {type: "text/javascript"}));
  window[name] = await import(address);
}"""
MODEST = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(scope="module")
def scripts(browser: Browser) -> Iterator[Page]:
    """An empty page that has floor.js, as `floor`."""
    page = browser.new_page()
    source = (SCRIPTS / "floor.js").read_text(encoding="utf-8")
    page.evaluate(LOAD, ["floor", source])
    yield page
    page.close()


def by_script(page: Page, sketch: Sketch) -> dict[str, Any]:
    members = [official.member for official in sketch.officials]
    found: dict[str, Any] = page.evaluate(
        "(sketch) => floor.measure(sketch)",
        {
            "crew": sketch.crew,
            "officials": [{"x": o.at.x, "y": o.at.y, "facing": o.facing} for o in sketch.officials],
            "players": [{"x": p.at.x, "y": p.at.y} for p in sketch.players],
            "route": [{"x": p.x, "y": p.y} for p in sketch.route],
            "fieldOfView": sketch.field_of_view,
            "reporter": None if sketch.reporter is None else members.index(sketch.reporter),
        },
    )
    return found


def agree(sketch: Sketch, script: dict[str, Any], core: Measures) -> None:
    members = [official.member for official in sketch.officials]
    assert tuple(members[n] for n in script["watchers"]) == core.watchers
    assert tuple(map(tuple, script["seen"])) == core.seen
    assert (script["coverage"], tuple(script["unseen"])) == (core.coverage, core.unseen)
    assert script["boxed"] == core.boxed
    assert tuple(members[n] for n in script["inside"]) == core.inside
    assert (script["apart"] is None) == (core.apart is None)
    assert script["apart"] is None or script["apart"] == pytest.approx(core.apart, abs=1e-9)
    assert (script["route"] is None) == (core.route is None)
    if core.route is not None:
        route = script["route"]
        assert route["length"] == pytest.approx(core.route.length, abs=1e-9)
        assert route["inside"] == pytest.approx(core.route.inside, abs=1e-6)
        assert route["around"] == core.route.around


@MODEST
@given(sketch=sketches())
def test_any_sketch_measures_the_same(scripts: Page, sketch: Sketch) -> None:
    agree(sketch, by_script(scripts, sketch), measure(sketch))
