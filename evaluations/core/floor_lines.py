"""What a sketch shows line by line, for the page on which it is drawn.

The page's script fills in the same phrases while somebody drags; so both say the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from evaluations.core.floor.measures import Measures
from evaluations.core.floor.presets import Shape
from evaluations.core.floor.sketch import Sketch
from evaluations.core.games import POSITIONS, CrewPosition
from evaluations.core.printing import printed, whole
from evaluations.core.voice import Voice

Names = Mapping[CrewPosition, str]


@dataclass(frozen=True, slots=True)
class Line:
    """`key` names the line to the script."""

    key: str
    label: str
    text: str


def phrases(voice: Voice) -> dict[str, str]:
    """The texts of the lines, by what they are about."""
    _ = voice.text
    return {
        "not_judged": _("not judged"),
        "nobody": _("nobody"),
        "of": _("%(n)s of %(all)s"),
        "reports": _("reports, is not measured"),
        "absent": _("is not on the floor"),
        "degrees": _("%(n)s degrees"),
        "around": _("around the players, %(all)s m"),
        "through": _("through the players for %(n)s of %(all)s m"),
        "summary": _("%(n)s of %(all)s players in view."),
        "unseen": _("Unseen: %(who)s."),
    }


def view_label(voice: Voice, name: str) -> str:
    _ = voice.text
    return _("In view of %(name)s") % {"name": name}


def sketch_lines(voice: Voice, sketch: Sketch, found: Measures, names: Names) -> list[Line]:
    """Players by their place in the list, which is no jersey number."""
    _, said = voice.text, phrases(voice)
    none, players = said["not_judged"], len(sketch.players)
    judged = found.coverage is not None
    seen = {"n": players - len(found.unseen), "all": players}
    boxed = None if found.boxed is None else {"n": round(found.boxed * players), "all": players}
    angles = [str(whole(Fraction(angle))) for angle in found.apart or ()]
    inside = [names[member] for member in found.inside]
    can_be_inside = players > 2 and found.watchers
    return [
        *_views(voice, sketch, found, names),
        Line("coverage", _("In somebody's view"), said["of"] % seen if judged else none),
        Line("unseen", _("In nobody's view"), _listed(voice, found.unseen) if judged else none),
        Line("boxed", _("Between the officials"), said["of"] % boxed if boxed else none),
        Line(
            "apart",
            _("The officials' angle around the players"),
            said["degrees"] % {"n": ", ".join(angles)} if angles else none,
        ),
        Line(
            "inside",
            _("Among the players"),
            (", ".join(inside) or said["nobody"]) if can_be_inside else none,
        ),
        Line("route", _("The caller's way to report"), _route(voice, found)),
    ]


def _views(voice: Voice, sketch: Sketch, found: Measures, names: Names) -> Iterable[Line]:
    said, drawn = phrases(voice), {official.member for official in sketch.officials}
    for member in POSITIONS[sketch.crew]:
        if member in found.watchers:
            row = found.seen[found.watchers.index(member)]
            text = _listed(voice, [n for n, sees in enumerate(row) if sees])
            text = text if sketch.players else said["not_judged"]
        else:
            text = said["reports" if member in drawn else "absent"]
        yield Line(f"view-{member}", view_label(voice, names[member]), text)


def _listed(voice: Voice, places: Iterable[int]) -> str:
    return ", ".join(str(n + 1) for n in places) or phrases(voice)["nobody"]


def _route(voice: Voice, found: Measures) -> str:
    said = phrases(voice)
    if found.route is None:
        return said["not_judged"]
    figures = {
        "n": voice.number(printed(Fraction(found.route.inside))),
        "all": voice.number(printed(Fraction(found.route.length))),
    }
    return said["around" if found.route.around else "through"] % figures


def shape_name(voice: Voice, shape: Shape) -> str:
    _ = voice.text
    return {
        Shape.FREE_THROW: _("Free throw"),
        Shape.END_LINE: _("Throw-in at the end line"),
        Shape.SIDE_LINE: _("Throw-in at the side line"),
        Shape.SPREAD: _("Spread out"),
    }[shape]
