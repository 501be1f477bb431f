"""A connection that breaks while photos are sent, in a real browser: all of them arrive."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from tests.journeys import town
from tests.journeys.axe import violations
from vehicles.intake.images import clean_photo
from vehicles.intake.storing import open_photo
from vehicles.models import Intake, Photo

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page, Request, Route

    from shared.models import Program
    from tests.journeys.conftest import Site

pytestmark = pytest.mark.e2e
PIECE = 512 * 1024


@pytest.fixture
def shots(tmp_path: Path) -> list[Path]:
    """Return three photos of several pieces each: noise can't be made small."""
    paths = []
    for number in range(3):
        packed = io.BytesIO()
        noise = Image.effect_noise((1000, 800), 60 + number).convert("RGB")
        noise.save(packed, "JPEG", quality=100)
        paths.append(tmp_path / f"shot-{number}.jpg")
        paths[-1].write_bytes(packed.getvalue())
    return paths


class Connection:
    """The connection of a page: it breaks at the second piece, and is mended by hand."""

    def __init__(self, page: Page) -> None:
        self.offsets: list[int] = []
        self.broken = True
        page.on("request", self.note)
        page.route("**/photos/uploads/**", self.carry)

    def note(self, request: Request) -> None:
        if request.method == "PATCH":
            self.offsets.append(int(request.headers["upload-offset"]))

    def carry(self, route: Route) -> None:
        breaks = self.broken and len(self.offsets) > 1
        route.abort("connectionreset") if breaks else route.continue_()


def test_three_photos_arrive_although_the_connection_breaks(
    program: Program, site: Site, shots: list[Path]
) -> None:
    stay = Intake.objects.filter(program=program, left_on=None).earliest("pk")
    assert min(shot.stat().st_size for shot in shots) > PIECE
    with site.window("rosalind", width=390, height=844) as page:
        page.goto(f"/cars/{stay.pk}/photos/")
        connection = Connection(page)
        page.locator("input[type=file]").set_input_files(shots)
        page.get_by_text("0 of 3 sent; 3 wait for a connection.").wait_for()
        assert Photo.objects.count() == 0
        found = violations(page)
        connection.broken = False
        page.reload()
        page.get_by_text(re.compile("3 of 3 sent")).wait_for()
        town.work()
        page.get_by_text("3 photos are kept.").wait_for()
        assert page.locator("[data-shots] img").count() == 3
        found += violations(page)
    assert found == []
    # One begins at 0 and goes on behind the piece that came before the break, the others begin.
    assert connection.offsets.count(0) == len(shots)
    kept = [open_photo(photo, thumb=False) for photo in stay.photos.all()]
    assert kept == [clean_photo(shot.read_bytes()).jpeg for shot in shots]
    assert [said for said in site.trouble if "ERR_CONNECTION_RESET" not in said] == []
