"""`manage.py pictures`: the three pictures of the README, taken of the running demonstration."""

from __future__ import annotations

import io
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from shutil import which
from typing import TYPE_CHECKING, Any, Final

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.urls import reverse
from PIL import Image

from program.cases.models import Case
from program.management.commands.demo import SHOWN_CASE
from program.management.demo_people import PASSWORD
from program.status.actions import give_page
from shared.links.queries import link_url
from vehicles.inspection.depths import Depth
from vehicles.inspection.models import Inspection

if TYPE_CHECKING:
    from django.core.management.base import CommandParser
    from playwright.sync_api import Browser

FOLDER: Final = Path(settings.BASE_DIR) / "docs" / "pictures"
BROWSER: Final = "chromium"
FLAGS: Final = (
    "--no-sandbox",  # it opens no page but ours
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
TONES: Final = 48
LARGEST: Final = 150_000  # bytes of one picture


@dataclass(frozen=True, kw_only=True)
class Picture:
    """One picture: file, page, who is signed in (nobody if empty), window in CSS pixels."""

    name: str
    path: str
    username: str
    width: int
    height: int


class Command(BaseCommand):
    help = "Take the pictures of the README from the running demonstration."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--site", default="http://localhost:8000", help="where it runs")
        parser.add_argument("--folder", type=Path, default=FOLDER, help="where the pictures go")

    def handle(self, *args: Any, **options: Any) -> None:
        shown = _pictures()
        browser = which(BROWSER)
        if browser is None or find_spec("playwright") is None:
            raise CommandError(
                "The pictures need Chromium and playwright: install chromium and "
                "requirements-e2e.txt."
            )
        from playwright.sync_api import Error, sync_playwright  # noqa: PLC0415  # may be absent

        folder: Path = options["folder"]
        folder.mkdir(parents=True, exist_ok=True)
        try:
            with sync_playwright() as playwright:
                started = playwright.chromium.launch(executable_path=browser, args=FLAGS)
                for picture in shown:
                    size = _take(started, picture, options["site"], folder)
                    self.stdout.write(f"{picture.name}.png: {size // 1000} kB")
        except Error as error:
            raise CommandError(f"The demonstration is not to be seen: {error.message}") from error


def _pictures() -> list[Picture]:
    """Return what is shown, from the demonstration's database."""
    case = Case.objects.filter(program__is_demo=True, number=SHOWN_CASE).first()
    if case is None:
        raise CommandError("There is no demonstration here. Start manage.py demo first.")
    # One that is half done says more than one that nobody has begun.
    open_sheets = Inspection.objects.open().filter(program=case.program, depth=Depth.FULL)
    sheet = open_sheets.order_by("pk").first()
    if sheet is None:
        raise CommandError("No full sheet is open in this demonstration. Start it anew: --reset.")
    page = link_url(give_page(case=case, by=None)).removeprefix(settings.SITE_URL)
    return [
        Picture(
            name="week", path=reverse("planning:week"), username="imke", width=1280, height=900
        ),
        Picture(
            name="sheet",
            path=reverse("inspection:sheet", args=[sheet.intake_id]),
            username="rosalind",
            width=390,
            height=844,
        ),
        Picture(name="household", path=page, username="", width=390, height=844),
    ]


def _take(browser: Browser, picture: Picture, site: str, folder: Path) -> int:
    """Take one picture and return how many bytes it has."""
    context = browser.new_context(
        viewport={"width": picture.width, "height": picture.height}, color_scheme="light"
    )
    page = context.new_page()
    if picture.username:
        page.goto(site + reverse("accounts:sign_in"))
        page.fill("[name=username]", picture.username)
        page.fill("[name=password]", PASSWORD)
        page.press("[name=password]", "Enter")
        page.wait_for_url(lambda url: reverse("accounts:sign_in") not in url)
    answer = page.goto(site + picture.path)
    if answer is None or not answer.ok:
        raise CommandError(f"{picture.path} can't be shown. Is it another demonstration?")
    drawn = Image.open(io.BytesIO(page.screenshot()))
    context.close()
    target = folder / f"{picture.name}.png"
    # Few tones are enough for ink on paper, and make a file a quarter of the size.
    drawn.convert("RGB").quantize(TONES, dither=Image.Dither.NONE).save(target, optimize=True)
    size = target.stat().st_size
    if size > LARGEST:
        raise CommandError(f"{target.name} is larger than {LARGEST // 1000} kB.")
    return size
