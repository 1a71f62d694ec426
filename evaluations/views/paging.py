"""Lists in pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest

ROWS = 25


def page_of(request: HttpRequest, rows: QuerySet[Any] | Sequence[Any]) -> Page[Any]:
    """The page that `?page=` asks for; a number out of range gives the nearest page."""
    return Paginator(rows, ROWS).get_page(request.GET.get("page"))
