"""A technician at the sheet in a browser: opens it, answers what is open, one point at a time."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypedDict

from program.management.demo_people import PASSWORD
from shared.accounts.roles import RoleKind
from tests.factories import make_user

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from shared.models import Program, User
    from vehicles.models import Intake

NOTHING_WAITS = "() => !Object.keys(localStorage).some((name) => /reading/.test(name))"
SHORT = 20_000  # milliseconds that a few readings may take on a busy machine
LONG = 180_000  # and a hundred


class Size(TypedDict):
    """How big a window is, in pixels."""

    width: int
    height: int


PHONE: Size = {"width": 390, "height": 844}


def technician(first: str, last: str, program: Program) -> User:
    """Return a technician who can sign in by the first name."""
    user = make_user(
        RoleKind.LEAD_TECHNICIAN,
        program=program,
        username=first.lower(),
        first_name=first,
        last_name=last,
    )
    user.set_password(PASSWORD)
    user.save()
    return user


@dataclass
class SheetPage:
    """The sheet of one stay in one window."""

    page: Page
    stay: Intake

    def open(self, at: str = "walk_round") -> SheetPage:
        """Load the page at one of its groups, and take in what it says of its points."""
        self.page.goto(f"/cars/{self.stay.pk}/sheet/?at={at}")
        block = self.page.locator("#points").text_content() or "{}"
        self.criteria: dict[str, Any] = json.loads(block)["criteria"]
        return self

    @property
    def titles(self) -> dict[str, tuple[dict[str, Any], str]]:
        """Each point by its title: its criterion, and its path."""
        found = {}
        for code, criterion in self.criteria.items():
            for position, place in criterion["places"].items():
                title = f"{criterion['title']}, {place['where']}" if place["where"] else ""
                path = f"{code}/{position}" if position else code
                found[title or criterion["title"]] = criterion, path
        return found

    def place(self, path: str) -> Locator:
        """Return the button of one point, or of its closed section."""
        return self.page.locator(f"a.read[href$='/sheet/{path}/']")

    def tap(self, path: str) -> None:
        """Open a point as a thumb does: its closed section first."""
        code = path.partition("/")[0]
        shut = self.page.locator(f"#c-{code}.shut a.read")
        if shut.count():
            shut.click()
        if self.place(path).count():
            self.place(path).click()

    @property
    def asked(self) -> str:
        """The title of the point that is open; empty when none is."""
        title = self.page.locator("#pad [data-title]")
        return (title.text_content() or "") if title.is_visible() else ""

    @property
    def field(self) -> Locator:
        return self.page.locator("input.read.on")

    def key(self, name: str) -> None:
        """Tap one key of the pad."""
        self.page.locator("#pad").get_by_role("button", name=name, exact=True).click()

    def type(self, digits: str) -> None:
        """Tap a number on the pad, then Next."""
        for digit in digits:
            self.key({".": "decimal point", "/": "slash, for a fraction"}.get(digit, digit))
        self.key("Next")

    def call_rest_good(self, read: list[str]) -> list[str]:
        """Tap the key that calls good what is not read of the open criterion, if it is there.

        Returns the paths of those places.
        """
        key = self.page.locator("#pad [data-rest]")
        if not key.is_visible():
            return []
        code = self.titles[self.asked][1].partition("/")[0]
        paths = [path for _, path in self.titles.values() if path.partition("/")[0] == code]
        left = [path for path in paths if path not in read]
        assert (key.text_content() or "").split()[1:] == [str(len(left)), "good"]
        key.click()
        return left

    def answer(self) -> str:
        """Answer the open point by keyboard, with a number in its range or with good.

        Returns the path of the point.
        """
        criterion, path = self.titles[self.asked]
        if "units" not in criterion:
            self.page.keyboard.press("Enter")  # the first box is Good, and has the focus
            return path
        unit = criterion["units"][0]
        number = str(int((unit["least"] + unit["most"]) / 2)) if unit["most"] > 1 else "0.1"
        self.field.fill(number)
        self.field.press("Enter")
        if criterion["marked"] and self.asked and self.titles[self.asked][1] == path:
            self.page.get_by_label(criterion["marked"]).fill(number)
            self.page.get_by_label(criterion["marked"]).press("Enter")
        return path

    def masthead(self, words: str) -> None:
        """Wait until the masthead says so."""
        self.page.locator(".mast .wifi", has_text=words).wait_for()

    def saved(self, within: float = SHORT) -> None:
        """Wait until nothing waits in this browser any more, and the page says so."""
        self.page.wait_for_function(NOTHING_WAITS, timeout=within)
        self.page.locator(".mast .wifi").wait_for(state="detached")
