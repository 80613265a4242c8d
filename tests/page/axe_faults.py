"""What axe, the checker of accessibility, finds on a page as it stands."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

_SCRIPT = Axe().axe_script


def axe_faults(page: Page) -> list[str]:
    """Return each fault with the first place where it is; axe is put into a page only once."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(_SCRIPT)
    found = page.evaluate(
        """() => axe.run({ resultTypes: ["violations"] }).then((found) =>
          found.violations.map((one) => `${one.id}: ${one.nodes[0].html.slice(0, 120)}`))"""
    )
    return list(found)
