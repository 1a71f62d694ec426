"""axe-core on an open page."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

# The levels that the site promises: WCAG 2.2 AA, and axe's own good practice.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def violations(page: Page) -> list[str]:
    """One line for each rule that the page breaks, with the elements that break it."""
    results = Axe().run(page, options={"runOnly": {"type": "tag", "values": TAGS}})
    return [
        f"{rule['id']}: {rule['help']} {[node['target'] for node in rule['nodes']]}"
        for rule in results.response["violations"]
    ]
