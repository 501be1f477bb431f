"""What axe finds on a page: the accessibility checker that browsers' own tools use."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page


def violations(page: Page) -> list[str]:
    """Return each violation of a page with the first piece of markup that has it."""
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415  # may be absent

    found = Axe().run(page).response["violations"]
    return [f"{page.url}: {rule['id']}: {rule['nodes'][0]['html'][:200]}" for rule in found]
