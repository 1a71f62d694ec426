"""How hands show a number, for 0 to 99 and 00, against the published scheme."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from evaluations.core.mechanics.code import NumberScheme
from evaluations.core.mechanics.number_signals import FIST, NUMBERS, SIGNS, Sign, shown_in

PUBLISHED = json.loads(
    (Path(__file__).parents[2] / "reference" / "number_signals.json").read_text()
)
TENS_THEN_UNITS = SIGNS[NumberScheme.TENS_THEN_UNITS]
TOGETHER = SIGNS[NumberScheme.TOGETHER]


def total(sign: Sign) -> int:
    return (sign.right or 0) + (sign.left or 0)


def test_every_number_that_is_worn_has_its_signs() -> None:
    assert list(NUMBERS) == ["00", *map(str, range(100))]
    assert tuple(TENS_THEN_UNITS) == tuple(TOGETHER) == NUMBERS
    assert all(TENS_THEN_UNITS.values())


def test_no_two_numbers_look_the_same() -> None:
    for signs in (TENS_THEN_UNITS, TOGETHER):
        shown = [sign for sign in signs.values() if sign]
        assert len(shown) == len(set(shown))


def sign(text: str) -> Sign:
    """A sign as the table writes it: "5+1", "fist+3", "back 2", "palm 5+4"."""
    side, _space, hands = text.rpartition(" ")
    right, *left = [FIST if hand == "fist" else int(hand) for hand in hands.split("+")]
    return Sign(right, left[0] if left else None, back=side == "back")


@pytest.mark.parametrize("number", NUMBERS)
def test_tens_then_units_as_the_appendix_of_the_rules_shows_them(number: str) -> None:
    """FIBA Official Basketball Rules, appendix on referees' signals."""
    assert TENS_THEN_UNITS[number] == tuple(map(sign, PUBLISHED["signs"][number].split(", ")))


def test_the_published_table_is_whole() -> None:
    assert tuple(PUBLISHED["signs"]) == NUMBERS


@pytest.mark.parametrize("n", range(100))
def test_hands_add_up_to_the_number(n: int) -> None:
    signs = TENS_THEN_UNITS[str(n)]
    if n <= 15:
        (only,) = signs
        assert total(only) == n
        assert not only.back
        assert (only.left is None) is (n <= 5)
        assert (only.right == FIST) is (n >= 11)
    else:
        tens, units = signs
        assert (total(tens), total(units)) == divmod(n, 10)
        assert tens.back and not units.back


@pytest.mark.parametrize(
    ("number", "signs"),
    [
        ("0", (Sign(0),)),
        ("5", (Sign(5),)),
        ("00", (Sign(0, 0),)),
        ("10", (Sign(1, 0),)),
        ("24", (Sign(2, 4),)),
        ("55", (Sign(5, 5),)),
    ],
)
def test_together_the_tens_are_on_the_right_hand(number: str, signs: tuple[Sign, ...]) -> None:
    """Common practice, no source."""
    assert TOGETHER[number] == signs


def test_together_there_is_no_sign_for_a_digit_above_five() -> None:
    worn = {number for number, signs in TOGETHER.items() if signs}
    assert worn == {number for number in NUMBERS if set(number) <= set("012345")}


@pytest.mark.parametrize(
    ("scheme", "number", "signs"),
    [
        (NumberScheme.TOGETHER, None, 1),
        (NumberScheme.TOGETHER, "24", 1),
        (NumberScheme.TENS_THEN_UNITS, None, None),
        (NumberScheme.TENS_THEN_UNITS, "00", 1),
        (NumberScheme.TENS_THEN_UNITS, "15", 1),
        (NumberScheme.TENS_THEN_UNITS, "16", 2),
    ],
)
def test_in_how_many_signs_a_number_is_shown(
    scheme: NumberScheme, number: str | None, signs: int | None
) -> None:
    assert shown_in(scheme, number) == signs
