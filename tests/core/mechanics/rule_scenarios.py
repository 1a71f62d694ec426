"""Every rule by name: what was seen, whose duty it was, and how it is judged.

A source that isn't named is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from evaluations.core.mechanics.code import NumberScheme
from evaluations.core.mechanics.court import Position, Whistle
from evaluations.core.mechanics.facts import Eyes, Moment, NumberShown, Report, Route, Watching
from evaluations.core.mechanics.judging import Verdict
from tests.core.mechanics.crews import MET, NOT_JUDGED, NOT_MET
from tests.core.mechanics.scenario_tables import NO_SOURCE

TENS_FIRST = "FIBA Official Basketball Rules, appendix on referees' signals"
AFTER_REPORT = Moment.AFTER_REPORT

Due = Mapping[str, Verdict]
"""Verdicts by "caller", "others" (each of them), "switches with" (the trail, when
the caller was lead), "was lead", "third" (of three, the centre) or "nobody"."""


class RuleScenario(NamedTuple):
    """`after`: places by the same words. `calls_from`: positions before, all when left out."""

    name: str
    rule: str
    two: Due
    three: Due
    report: Report = Report()
    others: Watching = Watching()
    eyes: Eyes = Eyes()
    after: Mapping[str, str] = {}
    calls_from: tuple[Position, ...] = ()
    scheme: NumberScheme = NumberScheme.TOGETHER
    whistle: Whistle = Whistle.SHOOTING
    source: str = NO_SOURCE


def reported(rule: str, name: str, verdict: Verdict, report: Report, **more: Any) -> RuleScenario:
    """What the caller's report shows."""
    return RuleScenario(name, rule, {"caller": verdict}, {"caller": verdict}, report, **more)


def watched(rule: str, name: str, verdict: Verdict, others: Watching) -> RuleScenario:
    """What the others do on a partner's whistle."""
    return RuleScenario(name, rule, {"others": verdict}, {"others": verdict}, others=others)


LEAD = (Position.LEAD,)
AS_DUE = {"caller": "trail table", "switches with": "lead opposite", "third": "centre opposite"}
STAYED = {"caller": "lead table", "switches with": "trail opposite", "third": "centre table"}
TENS = {"scheme": NumberScheme.TENS_THEN_UNITS, "source": TENS_FIRST}

RULE_SCENARIOS = [
    reported("signal_at_spot", "signal at the spot", MET, Report(signal_at_spot=True)),
    reported("signal_at_spot", "no signal at the spot", NOT_MET, Report(signal_at_spot=False)),
    reported("signal_at_spot", "signal not seen", NOT_JUDGED, Report(player_told=True)),
    reported("player_told", "player told", MET, Report(player_told=True)),
    reported("player_told", "player not told", NOT_MET, Report(player_told=False)),
    reported("player_told", "not seen whether told", NOT_JUDGED, Report(signal_at_spot=True)),
    reported("route_around", "around the players", MET, Report(route=Route.AROUND)),
    reported("route_around", "through the players", NOT_MET, Report(route=Route.THROUGH)),
    reported("route_around", "route not seen", NOT_JUDGED, Report(full_stop=True)),
    reported("benches_watched", "benches watched", MET, Report(benches_watched=True)),
    reported("benches_watched", "benches not watched", NOT_MET, Report(benches_watched=False)),
    reported("benches_watched", "not seen where the caller looked", NOT_JUDGED, Report()),
    reported("full_stop", "stopped before speaking", MET, Report(full_stop=True)),
    reported("full_stop", "spoke while walking", NOT_MET, Report(full_stop=False)),
    reported("full_stop", "stop not seen", NOT_JUDGED, Report(spoken=True)),
    reported("spoken", "colour and number spoken", MET, Report(spoken=True)),
    reported("spoken", "not spoken", NOT_MET, Report(spoken=False)),
    reported("spoken", "not heard", NOT_JUDGED, Report(type_shown=True)),
    reported(
        "number_shown",
        "24 with both hands at once",
        MET,
        Report(player="24", number_shown=NumberShown.AT_ONCE),
    ),
    reported(
        "number_shown",
        "24 one hand after the other, where it is both at once",
        NOT_MET,
        Report(player="24", number_shown=NumberShown.TENS_THEN_UNITS),
    ),
    reported(
        "number_shown",
        "16 tens first",
        MET,
        Report(player="16", number_shown=NumberShown.TENS_THEN_UNITS),
        **TENS,
    ),
    reported(
        "number_shown",
        "16 at once, where it is tens first",
        NOT_MET,
        Report(player="16", number_shown=NumberShown.AT_ONCE),
        **TENS,
    ),
    reported(
        "number_shown",
        "15 with a fist and a hand at once",
        MET,
        Report(player="15", number_shown=NumberShown.AT_ONCE),
        **TENS,
    ),
    reported(
        "number_shown",
        "a number not read, tens first: depends on the number",
        NOT_JUDGED,
        Report(number_shown=NumberShown.AT_ONCE),
        **TENS,
    ),
    reported("number_shown", "none shown", NOT_MET, Report(number_shown=NumberShown.NOT_SHOWN)),
    reported("number_shown", "hands not seen", NOT_JUDGED, Report(player="12")),
    reported("type_shown", "type shown", MET, Report(type_shown=True)),
    reported("type_shown", "type not shown", NOT_MET, Report(type_shown=False)),
    reported("type_shown", "type not seen", NOT_JUDGED, Report(result_shown=True)),
    reported("result_shown", "shots shown", MET, Report(result_shown=True)),
    reported("result_shown", "shots not shown", NOT_MET, Report(result_shown=False)),
    reported("result_shown", "not seen what was shown", NOT_JUDGED, Report(type_shown=True)),
    *(
        RuleScenario(name, "live_after_report", two, three, report, calls_from=LEAD)
        for name, report, two, three in (
            (
                "ball held until the report ended",
                Report(ended_before_live=True),
                {"others": MET},
                {"switches with": MET},
            ),
            (
                "ball live during the report",
                Report(ended_before_live=False),
                {"others": NOT_MET},
                {"switches with": NOT_MET},
            ),
            (
                "not seen which came first",
                Report(spoken=True),
                {"others": NOT_JUDGED},
                {"switches with": NOT_JUDGED},
            ),
        )
    ),
    RuleScenario(
        "ball live early at a throw-in: of three it is nobody's in particular",
        "live_after_report",
        {"others": NOT_MET},
        {"nobody": NOT_MET},
        Report(ended_before_live=False),
        whistle=Whistle.COMMON,
    ),
    RuleScenario(
        "everybody as the row says",
        "end",
        {"caller": MET, "others": MET},
        {"caller": MET, "others": MET},
        after=AS_DUE,
        calls_from=LEAD,
    ),
    RuleScenario(
        "everybody on the row's side, where it names one",
        "side",
        {"caller": MET, "others": MET},
        {"caller": MET, "switches with": NOT_JUDGED, "third": MET},
        after=AS_DUE,
        calls_from=LEAD,
    ),
    RuleScenario(
        "the partner is lead on the wrong side, or of three the centre",
        "side",
        {"caller": MET, "switches with": NOT_MET},
        {"caller": MET, "switches with": NOT_JUDGED, "third": NOT_MET},
        after={"caller": "trail table", "switches with": "lead table", "third": "centre table"},
        calls_from=LEAD,
    ),
    RuleScenario(
        "the caller is trail on the wrong side",
        "side",
        {"caller": NOT_MET, "others": MET},
        {"caller": NOT_MET, "switches with": NOT_JUDGED, "third": MET},
        after={**AS_DUE, "caller": "trail opposite"},
        calls_from=LEAD,
    ),
    RuleScenario(
        "a needless switch is the caller's alone",
        "end",
        {"caller": NOT_MET, "others": NOT_JUDGED},
        {"caller": NOT_MET, "was lead": NOT_JUDGED, "third": MET},
        after={"caller": "lead table", "was lead": "trail table", "third": "centre opposite"},
        calls_from=(Position.TRAIL,),
    ),
    RuleScenario(
        "ends not seen",
        "end",
        {"caller": NOT_JUDGED, "others": NOT_JUDGED},
        {"caller": NOT_JUDGED, "others": NOT_JUDGED},
    ),
    RuleScenario(
        "sides not seen",
        "side",
        {"caller": NOT_JUDGED, "others": NOT_JUDGED},
        {"caller": NOT_JUDGED, "others": NOT_JUDGED},
    ),
    RuleScenario(
        "the switch is done",
        "force_switch",
        {"switches with": MET},
        {"switches with": MET},
        after=AS_DUE,
        calls_from=LEAD,
    ),
    RuleScenario(
        "both stay: the miss of the one in the caller's place",
        "force_switch",
        {"switches with": NOT_MET},
        {"switches with": NOT_MET},
        after=STAYED,
        calls_from=LEAD,
    ),
    RuleScenario(
        "not seen where they ended",
        "force_switch",
        {"switches with": NOT_JUDGED},
        {"switches with": NOT_JUDGED},
        calls_from=LEAD,
    ),
    RuleScenario(
        "no switch is due: nobody has to force one",
        "force_switch",
        {},
        {},
        calls_from=(Position.TRAIL,),
    ),
    watched("vision_wide", "vision held wide", MET, Watching(wide=True)),
    watched("vision_wide", "eyes on one spot", NOT_MET, Watching(wide=False)),
    watched("vision_wide", "eyes not seen", NOT_JUDGED, Watching(chased_ball=False)),
    watched("ball_not_chased", "ball left alone", MET, Watching(chased_ball=False)),
    watched("ball_not_chased", "ball chased", NOT_MET, Watching(chased_ball=True)),
    watched("ball_not_chased", "not seen who fetched it", NOT_JUDGED, Watching(wide=True)),
    watched("moved_opposite", "moved opposite", MET, Watching(moved_opposite=True)),
    watched("moved_opposite", "stood still", NOT_MET, Watching(moved_opposite=False)),
    watched("moved_opposite", "movement not seen", NOT_JUDGED, Watching(wide=True)),
    *(
        RuleScenario(name, "eyes_kept", two, three, eyes=eyes)
        for name, eyes, two, three in (
            ("players faced", Eyes(kept=True), {"others": MET}, {"nobody": MET}),
            (
                "lost during the report: the other's, of three nobody's in particular",
                Eyes(kept=False, lost=Moment.REPORT),
                {"others": NOT_MET},
                {"nobody": NOT_MET},
            ),
            (
                "lost after the report: the crew's",
                Eyes(kept=False, lost=AFTER_REPORT),
                {"nobody": NOT_MET},
                {"nobody": NOT_MET},
            ),
            (
                "lost, not seen when",
                Eyes(kept=False),
                {"others": NOT_JUDGED},
                {"nobody": NOT_JUDGED},
            ),
            ("eyes not seen", Eyes(), {"others": NOT_JUDGED}, {"nobody": NOT_JUDGED}),
        )
    ),
]
