"""What a page has to keep to: axe-core's rules, its width, targets that a finger finds."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

# The levels that the site promises: WCAG 2.2 AA, and axe's own good practice.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

SMALL_TARGETS: Final = Path(__file__).with_name("small_targets.js").read_text(encoding="utf-8")
OVERFLOW: Final = """() => {
  const { scrollWidth, clientWidth } = document.scrollingElement;
  if (scrollWidth <= clientWidth) return [];
  const out = [...document.querySelectorAll("body *")]
    .filter((element) => element.getBoundingClientRect().right > clientWidth + 1)
    .map((element) => `${element.tagName} ${element.textContent.trim().slice(0, 30)}`);
  return [`${scrollWidth - clientWidth} px too wide`, ...out.slice(-3)];
}"""


def violations(page: Page, *rules: str) -> list[str]:
    """One line for each rule that the page breaks, with the elements that break it.

    With `rules`, these alone are looked at.
    """
    only = {"type": "rule", "values": list(rules)} if rules else {"type": "tag", "values": TAGS}
    results = Axe().run(page, options={"runOnly": only, "resultTypes": ["violations"]})
    return [
        f"{rule['id']}: {rule['help']} {[node['target'] for node in rule['nodes']]}"
        for rule in results.response["violations"]
    ]


def small_targets(page: Page) -> list[str]:
    """What is too small to be tapped, with its size."""
    found: list[str] = page.evaluate(SMALL_TARGETS.rstrip().rstrip(";"))
    return found


def overflow(page: Page) -> list[str]:
    """What stands out of the window at its right, if the page is wider than the window."""
    found: list[str] = page.evaluate(OVERFLOW)
    return found
