"""How hands show a number, for 0 to 99 and 00, against the published scheme."""

from __future__ import annotations

import pytest

from evaluations.core.mechanics.code import NumberScheme
from evaluations.core.mechanics.number_signals import FIST, NUMBERS, SIGNS, Sign, shown_in

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


@pytest.mark.parametrize(
    ("number", "signs"),
    [
        ("00", (Sign(0, 0),)),
        ("0", (Sign(0),)),
        ("1", (Sign(1),)),
        ("5", (Sign(5),)),
        ("6", (Sign(5, 1),)),
        ("10", (Sign(5, 5),)),
        ("11", (Sign(FIST, 1),)),
        ("15", (Sign(FIST, 5),)),
        ("16", (Sign(1, back=True), Sign(5, 1))),
        ("20", (Sign(2, back=True), Sign(0))),
        ("24", (Sign(2, back=True), Sign(4))),
        ("78", (Sign(5, 2, back=True), Sign(5, 3))),
        ("99", (Sign(5, 4, back=True), Sign(5, 4))),
    ],
)
def test_tens_then_units_as_the_appendix_of_the_rules_shows_them(
    number: str, signs: tuple[Sign, ...]
) -> None:
    """FIBA Official Basketball Rules, appendix on referees' signals."""
    assert TENS_THEN_UNITS[number] == signs


@pytest.mark.parametrize("n", range(100))
def test_hands_add_up_to_the_number(n: int) -> None:
    signs = TENS_THEN_UNITS[str(n)]
    if n <= 15:
        (sign,) = signs
        assert total(sign) == n
        assert not sign.back
        assert (sign.left is None) is (n <= 5)
        assert (sign.right == FIST) is (n >= 11)
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
