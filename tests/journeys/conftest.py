"""A real browser on the running site. Where there is none, its tests are skipped and say why."""

from __future__ import annotations

import os
from contextlib import contextmanager
from importlib.util import find_spec
from shutil import which
from typing import TYPE_CHECKING

import pytest

from program.management.commands.pictures import BROWSER, FLAGS
from program.management.demo_people import PASSWORD
from tests.journeys import town

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page
    from pytest_django import Settings
    from pytest_django.live_server_helper import LiveServer

    from shared.models import Program


def missing() -> str:
    """Return what a browser test lacks here; empty when nothing is lacking."""
    if which(BROWSER) is None:
        return f"no {BROWSER} is installed"
    if any(find_spec(name) is None for name in ("playwright", "axe_playwright_python")):
        return "requirements-e2e.txt is not installed"
    return ""


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if lack := missing():
        (pytest.fail if os.environ.get("CI") == "true" else pytest.skip)(lack)
    from playwright.sync_api import sync_playwright  # noqa: PLC0415  # may be absent

    # Playwright runs a loop in this thread, in which the rows of a test are made as well.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=which(BROWSER), args=FLAGS)
        yield browser
        browser.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def program(chromium: Browser, transactional_db: None, tmp_path: Path) -> Program:
    return town.load(tmp_path / "sheets")


class Site:
    """The running site, windows on it, and what went wrong in any of them."""

    def __init__(self, browser: Browser, url: str) -> None:
        self.browser = browser
        self.url = url
        self.trouble: list[str] = []

    @contextmanager
    def window(
        self,
        username: str = "",
        *,
        width: int = 1280,
        height: int = 900,
        scheme: str = "light",
        java_script_enabled: bool = True,
    ) -> Iterator[Page]:
        """Open a window of that size, signed in as this person (as nobody when empty)."""
        context = self.browser.new_context(
            base_url=self.url,
            viewport={"width": width, "height": height},
            color_scheme="dark" if scheme == "dark" else "light",
            reduced_motion="reduce",
            java_script_enabled=java_script_enabled,
        )
        page = context.new_page()
        page.on("pageerror", lambda error: self.trouble.append(f"{page.url}: {error}"))
        page.on(
            "console",
            lambda said: (
                self.trouble.append(f"{page.url}: {said.text}") if said.type == "error" else None
            ),
        )
        if username:
            self.sign_in(page, username)
        yield page
        context.close()

    @staticmethod
    def sign_in(page: Page, username: str) -> None:
        page.goto("/accounts/sign-in/")
        page.get_by_label("User name").or_(page.get_by_label("Username")).fill(username)
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url(lambda url: "sign-in" not in url)


@pytest.fixture
def site(chromium: Browser, live_server: LiveServer, settings: Settings) -> Site:
    settings.SITE_URL = live_server.url
    return Site(chromium, live_server.url)
