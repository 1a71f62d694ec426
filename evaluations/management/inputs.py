"""What commands read: files, and mechanics codes by name. Bad input ends them with 2."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.core.management.base import CommandError

from evaluations.core.code_document import read_code
from evaluations.core.documents import DocumentError
from evaluations.core.mechanics.code import MechanicsCode
from evaluations.services.shipped_codes import SHIPPED_CODES, shipped_code

BAD_INPUT = 2


@contextmanager
def refusing(name: str) -> Iterator[None]:
    """End the command with 2 and a message that begins with the input's name."""
    try:
        yield
    except OSError as error:
        raise CommandError(f"{name}: {error.strerror}", returncode=BAD_INPUT) from None
    except DocumentError as error:
        raise CommandError(f"{name}: {error}", returncode=BAD_INPUT) from None


def read_input(file: str) -> bytes:
    """The bytes of a file; a hyphen reads standard input."""
    with refusing(file):
        return sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()


def read_code_named(name: str) -> MechanicsCode:
    """A shipped code by its key, or one from a TOML file."""
    if name in SHIPPED_CODES:
        return shipped_code(name)
    if not Path(name).exists():
        shipped = ", ".join(SHIPPED_CODES)
        message = f"--code {name}: is no file and no shipped code; shipped are {shipped}"
        raise CommandError(message, returncode=BAD_INPUT)
    with refusing(name):
        return read_code(Path(name).read_bytes())
