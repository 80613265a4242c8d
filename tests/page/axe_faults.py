"""What axe, the checker of accessibility, finds on a page as it stands."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

_SCRIPT = Axe().axe_script


def axe_faults(page: Page) -> list[str]:
    """Return each fault with the first place where it is; axe is put into a page only once."""
    return _run(page, {"resultTypes": ["violations"]})


def axe_faults_in_both(page: Page) -> list[str]:
    """Return the faults by light, and those by dark, where nothing but the colours is another."""
    page.emulate_media(color_scheme="light")
    found = axe_faults(page)
    page.emulate_media(color_scheme="dark")
    page.wait_for_function("document.documentElement.dataset.theme === 'dark'")
    found += [f"dark: {one}" for one in _run(page, {"runOnly": ["color-contrast"]})]
    page.emulate_media(color_scheme="light")
    page.wait_for_function("document.documentElement.dataset.theme === 'light'")
    return found


def _run(page: Page, options: dict[str, object]) -> list[str]:
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(_SCRIPT)
    found = page.evaluate(
        """(options) => axe.run(options).then((found) =>
          found.violations.map((one) => `${one.id}: ${one.nodes[0].html.slice(0, 120)}`))""",
        options,
    )
    return list(found)
