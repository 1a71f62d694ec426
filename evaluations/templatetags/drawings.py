"""Core's drawings on pages."""

from __future__ import annotations

from django import template
from django.utils.safestring import SafeString, mark_safe

from evaluations.core.drawing import Drawing
from evaluations.letters import to_svg

register = template.Library()


@register.simple_tag
def drawing(picture: Drawing) -> SafeString:
    """The drawing as SVG. Every text in it was escaped when it was made."""
    return mark_safe(to_svg(picture))  # noqa: S308
