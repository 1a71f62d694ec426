"""Commands whose help is their module's docstring, printed as it is written."""

from __future__ import annotations

from argparse import RawDescriptionHelpFormatter
from typing import Any

from django.core.management.base import BaseCommand


class ExplainedCommand(BaseCommand):
    """`help` keeps its paragraphs and examples."""

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> Any:
        return super().create_parser(
            prog_name, subcommand, formatter_class=RawDescriptionHelpFormatter, **kwargs
        )
