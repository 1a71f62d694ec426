"""The figures of a letter on its page; the same drawings that the file shows."""

from __future__ import annotations

from django import template
from django.utils.safestring import SafeString, mark_safe

from evaluations.core import court_drawing, figures, floor_drawing
from evaluations.core.letter import AreaBar, Verification
from evaluations.core.letter_pictures import BandPicture, MovementPicture, SketchPicture
from evaluations.letters import to_svg
from evaluations.letters.codes import square_code as drawn_code

register = template.Library()


@register.simple_tag
def area_bar(bar: AreaBar) -> SafeString:
    """An area's bar; nothing when the letter has none there."""
    if not bar.alt:
        return SafeString("")
    drawn = figures.area_bar(bar.value, bar.season, bar.alt)
    return mark_safe(to_svg(drawn))  # noqa: S308 - every text in it was escaped when it was made


@register.simple_tag
def level_scale(levels: int, position: int | None) -> SafeString:
    """Where a level stands; its word is printed beside it."""
    return mark_safe(to_svg(figures.level_scale(levels, position)))  # noqa: S308 - holds no text


@register.simple_tag
def movement_court(picture: MovementPicture) -> SafeString:
    """The own movement on a court; its caption is printed beside it."""
    drawn = court_drawing.movement_court(picture.movement, picture.alt, table=picture.table)
    return mark_safe(to_svg(drawn))  # noqa: S308 - every text in it was escaped when it was made


@register.simple_tag
def own_sketch(picture: SketchPicture) -> SafeString:
    """The own official among the players; its caption is printed beside it."""
    drawn = floor_drawing.own_sketch_drawing(picture, picture.alt)
    return mark_safe(to_svg(drawn))  # noqa: S308 - every text in it was escaped when it was made


@register.simple_tag
def own_band(picture: BandPicture) -> SafeString:
    """The band of the own duty; its sentence is printed beside it."""
    drawn = floor_drawing.own_band(picture, picture.alt)
    return mark_safe(to_svg(drawn))  # noqa: S308 - every text in it was escaped when it was made


@register.simple_tag
def square_code(verification: Verification) -> SafeString:
    """The address that says whether the letter is genuine, to be scanned."""
    drawn = drawn_code(verification.address, verification.alt)
    return mark_safe(to_svg(drawn))  # noqa: S308 - every text in it was escaped when it was made
