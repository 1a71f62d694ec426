"""Who may do what when, line by line."""

from __future__ import annotations

from itertools import product

import pytest

from evaluations.core.release import RULES, Action, NotAllowed, State, Who, after, allowed

# Each line: who, in which state, does what, and the state that it leads to.
# Whatever is not listed is refused.
TABLE = """
author   draft         save         draft
author   returned      save         returned
author   draft         submit       submitted
author   returned      submit       submitted
admin    submitted     return       returned
admin    submitted     release      released
subject  released      acknowledge  acknowledged
subject  released      respond      responded
subject  acknowledged  respond      responded
subject  released      ask_review   released
subject  acknowledged  ask_review   acknowledged
subject  responded     ask_review   responded
author   released      amend        returned
admin    released      amend        returned
admin    released      supersede    superseded
admin    acknowledged  supersede    superseded
admin    responded     supersede    superseded
admin    released      withdraw     withdrawn
admin    acknowledged  withdraw     withdrawn
admin    responded     withdraw     withdrawn
"""


def read(line: str) -> tuple[tuple[Who, State, Action], State]:
    who, state, action, leads_to = line.split()
    return (Who(who), State(state), Action(action)), State(leads_to)


LINES = dict(read(line) for line in TABLE.strip().splitlines())
EVERYTHING = list(product(Who, State, Action))


@pytest.mark.parametrize(
    ("who", "state", "action"), EVERYTHING, ids=["-".join(case) for case in EVERYTHING]
)
def test_what_the_table_lists_is_possible_and_nothing_else(
    who: Who, state: State, action: Action
) -> None:
    leads_to = LINES.get((who, state, action))
    assert allowed(action, state, frozenset({who})) is (leads_to is not None)
    if leads_to is not None:
        assert after(action, state, frozenset({who})) is leads_to
    else:
        with pytest.raises(NotAllowed) as refusal:
            after(action, state, frozenset({who}))
        assert (refusal.value.action, refusal.value.state) == (action, state)


def test_every_action_has_a_rule() -> None:
    assert set(RULES) == set(Action)


@pytest.mark.parametrize(("state", "action"), list(product(State, Action)))
def test_a_stranger_may_do_nothing(state: State, action: Action) -> None:
    assert not allowed(action, state, frozenset())


@pytest.mark.parametrize(("state", "action"), list(product(State, Action)))
def test_who_is_several_things_may_do_what_any_of_them_may(state: State, action: Action) -> None:
    together = allowed(action, state, frozenset(Who))
    assert together is any(allowed(action, state, frozenset({who})) for who in Who)


@pytest.mark.parametrize("state", [State.SUPERSEDED, State.WITHDRAWN])
def test_what_was_superseded_or_withdrawn_never_changes_again(state: State) -> None:
    assert not any(allowed(action, state, frozenset(Who)) for action in Action)
