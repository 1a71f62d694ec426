"""What an open checker of accessible PDF says about a letter."""

from __future__ import annotations

import page


def failures(pdf: bytes) -> list[str]:
    """What it finds against PDF/UA-1."""
    report = page.validate_pdf_bytes(pdf, profile=page.ValidationProfile.PDF_UA_1)
    return [f"{failure.rule_id}: {failure.message}" for failure in report.failures]
