"""A dead ball told in words, as the table of a log shows it."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from evaluations.core.mechanics.court import Court, Resumes, Side, Whistle
from evaluations.core.mechanics.facts import DeadBall, Stood
from evaluations.core.telling import Told, tell
from evaluations.core.voice import PlainEnglish
from tests.core.mechanics.crews import ALL_CODES, code, findings, shooting, standing
from tests.core.mechanics.dead_balls import OPTION, dead_balls
from tests.core.test_every_word_is_translated import InBrackets, without_brackets


def told(ball: DeadBall, *, agreed: bool = False) -> Told:
    found = findings(ball, agreed=[OPTION] if agreed else ())
    return tell(PlainEnglish(), ball, 2, found)


def test_a_missed_switch_is_told_with_what_was_due_and_whose_it_was() -> None:
    ball = shooting(switched=False, court=Court.FRONT)
    account = told(ball)
    assert account.called == "shooting or bonus foul, referee"
    assert account.goes_on == "free throws, same direction, front court"
    assert account.switched == "stayed"
    referee, umpire = account.moves
    assert (referee.who, referee.before, referee.after, referee.due) == (
        "referee",
        "lead, opposite the table",
        "",
        "trail, table side",
    )
    assert (umpire.before, umpire.due) == ("trail, table side", "lead, opposite the table")
    (miss,) = account.not_met
    assert (miss.rule, miss.whose) == ("switch forced before the ball is live", "umpire")
    assert miss.duty == "Force the switch before the ball is live."


def test_where_they_ended_is_told_and_what_was_met() -> None:
    ball = shooting(after=standing(referee="trail table", umpire="lead opposite"))
    account = told(ball)
    assert account.switched == ""
    assert [move.after for move in account.moves] == [
        "trail, table side",
        "lead, opposite the table",
    ]
    assert account.not_met == ()
    places = [line.whose for line in account.met if line.rule.startswith("right side")]
    assert places == ["referee", "umpire"]


def test_an_option_that_was_used_is_named() -> None:
    ball = shooting(
        whistle=Whistle.DISQUALIFYING,
        after=standing(referee="lead opposite", umpire="trail"),
    )
    used = {line.option for line in told(ball, agreed=True).met}
    assert "the caller ends lead, opposite the table" in used


def test_what_was_not_seen_is_said_and_leaves_open_what_was_due() -> None:
    account = told(DeadBall(3, resumes=Resumes.SIDE_LINE))
    assert account.called == "call not seen, caller not seen"
    assert account.goes_on == "throw-in on the side line"
    assert {(m.before, m.after, m.due) for m in account.moves} == {("not seen", "not seen", "")}
    assert account.met == account.not_met == ()
    assert told(DeadBall(4)).goes_on == "not seen"


def test_a_side_alone_is_told_alone() -> None:
    ball = shooting(before=dict.fromkeys(shooting().before, Stood(None, Side.TABLE)))
    assert [move.before for move in told(ball).moves] == ["table side", "table side"]


@given(st.data(), st.sampled_from(ALL_CODES))
def test_every_finding_is_told_once_and_every_word_in_the_readers_language(
    data: st.DataObject, key: str
) -> None:
    crew = code(key).crews[0]
    ball = data.draw(dead_balls(crew))
    found = findings(ball, key, film=True)
    account = tell(InBrackets(), ball, crew, found)
    lines = [*account.met, *account.not_met, *account.not_judged]
    assert len(lines) == len(found)
    texts = [account.called, account.goes_on, account.switched]
    texts += [text for part in (*account.moves, *lines) for text in part]
    assert not any(re.search(r"\w", without_brackets(text)) for text in texts)
