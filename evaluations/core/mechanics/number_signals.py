"""How hands show a player's number, 0 to 99 and 00.

Tens then units: FIBA Official Basketball Rules, appendix on referees' signals. Together: common
practice, no source; two hands at once, tens on the right hand, units on the left, a single digit
with one hand. Where that is used, players wear digits from 0 to 5 only.
"""

from __future__ import annotations

from typing import NamedTuple

from evaluations.core.mechanics.code import NumberScheme

FIST = 10
"""A closed right hand that stands for ten."""


class Sign(NamedTuple):
    """Both hands at one moment: what each stands for, None when it is down.

    `back`: the back of the hand towards the table, as for tens; else the palm.
    """

    right: int | None = None
    left: int | None = None
    back: bool = False


NUMBERS: tuple[str, ...] = ("00", *(str(n) for n in range(100)))
"""The numbers as they are worn."""


def _digits(n: int, *, back: bool = False) -> Sign:
    """0 to 10 with two hands: the right one first, the left adds to a full right one."""
    return Sign(n, back=back) if n <= 5 else Sign(5, n - 5, back=back)


def _tens_then_units(number: str) -> tuple[Sign, ...]:
    n = int(number)
    if number == "00":
        return (Sign(0, 0),)
    if n <= 10:
        return (_digits(n),)
    if n <= 15:
        return (Sign(FIST, n - 10),)
    return (_digits(n // 10, back=True), _digits(n % 10))


def _together(number: str) -> tuple[Sign, ...]:
    digits = [int(digit) for digit in number]
    if max(digits) > 5:
        return ()
    return (Sign(digits[0], digits[1] if len(digits) == 2 else None),)


SIGNS: dict[NumberScheme, dict[str, tuple[Sign, ...]]] = {
    NumberScheme.TENS_THEN_UNITS: {number: _tens_then_units(number) for number in NUMBERS},
    NumberScheme.TOGETHER: {number: _together(number) for number in NUMBERS},
}
"""The signs one after the other; none for a number that is not worn where the scheme is used."""


def shown_in(scheme: NumberScheme, number: str | None) -> int | None:
    """In how many signs a number is shown; None when it depends on a number that is not known.

    >>> shown_in(NumberScheme.TENS_THEN_UNITS, "15"), shown_in(NumberScheme.TENS_THEN_UNITS, "16")
    (1, 2)
    """
    if scheme is NumberScheme.TOGETHER:
        return 1
    return None if number is None else len(SIGNS[scheme][number])
