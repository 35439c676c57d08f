"""Pages on paper; photos through a phone's file control."""

import io
import re
import struct
import zlib
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page
from starlette.testclient import TestClient

from service.actions.pours.keep_photo import keep_photo
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_reading import record_reading
from service.actions.pours.record_strength_test import record_strength_test
from service.actions.windows.project_pour import project_pour
from service.nouns.reading import ReadingCreate
from service.nouns.strength_test import StrengthTestCreate
from service.queries.pours import photos_of
from service.store import Store
from tests.support.shop import Bench, Hands
from tests.support.shown import american

pytestmark = pytest.mark.browser
HOUR = timedelta(hours=1)
LABELS = "/stickers/sheet?mould=1&copies={}&first=1&label={}"
SHEETS = ("/pours/1/care",)
# how many sheets others may take: of the record the second is its picture
PRINTED = {"/pours/1/record": 2, "/": 1, "/pours/1": 5, "/week": 1, "/pours/1/steps": 2}


@pytest.fixture
def usual(
    client: TestClient,
    bench: Bench,
    pour_id: int,
    store: Store,
    hands: Hands,
    picture: Callable[[str], bytes],
) -> int:
    """A usual pour: four readings, a cube, the first steps done, two photos."""
    client.post(f"/api/v1/places/{bench.place_id}/weather/refresh")
    project_pour(store, hands.now, pour_id)
    at = hands.forward(70)
    with store.unit_of_work() as session:
        for hours in (60, 40, 20):
            record_reading(
                session,
                at,
                pour_id,
                ReadingCreate(at=at - hours * HOUR, kind="concrete", value_C=13.0),
            )
        record_reading(
            session,
            at,
            pour_id,
            ReadingCreate(at=at, kind="air-min-max", value_C=7.0, value_max_C=14.0),
        )
        record_strength_test(session, at, pour_id, StrengthTestCreate(at=at, kind="cube", MPa=9.0))
        for step, hours in (("finish", 66), ("cover", 66), ("strip", 10)):
            mark_step_done(session, at, pour_id, step, at - hours * HOUR)
        for kind in ("jpg", "webp"):
            keep_photo(session, at, pour_id, picture(kind), at=at, step="strip")
    project_pour(store, at, pour_id)
    return pour_id


@pytest.mark.usefixtures("usual")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_usual_pour_fits_on_its_sheets(phone: Callable[..., Page], paper: str) -> None:
    """P17: six sheets, with bars over the text."""
    page = phone()
    for path, most in {**dict.fromkeys(SHEETS, 1), **PRINTED}.items():
        page.goto(path)
        sheets = re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(format=paper))
        assert len(sheets) <= most, f"{path} on {paper}"


@pytest.mark.usefixtures("usual")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_paper_is_white_and_ink_black_whatever_the_phone_shows(
    phone: Callable[..., Page], scheme: Literal["light", "dark"]
) -> None:
    page = phone(scheme=scheme)
    page.emulate_media(media="print", color_scheme=scheme)
    for path in (*SHEETS, *PRINTED):
        page.goto(path)
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") == (
            "rgb(255, 255, 255)"
        )
        inks = page.evaluate(
            "[...new Set([...document.querySelectorAll('main *')].filter(one =>"
            " one.checkVisibility() && !one.closest('svg')).map(one =>"
            " getComputedStyle(one).color))]"
        )
        assert inks == ["rgb(0, 0, 0)"], path
        assert not page.locator(".bar").is_visible()
        over = page.evaluate(
            "[...document.querySelectorAll('body *')].filter(one => one.checkVisibility() &&"
            " ['fixed', 'sticky'].includes(getComputedStyle(one).position)).length"
        )
        assert over == 0, f"{path}: something lies over the text"
        for tapped in ("button", "input", "form"):
            assert not page.locator(tapped).filter(visible=True).count(), f"{path}: {tapped}"


def test_labels_are_printed_at_their_true_size_and_a_phone_reads_each(
    chromium: Browser, evening: str
) -> None:
    """A whole sheet of each paper, as Chromium prints it and as it lies on the paper."""
    for label, count, paper in (
        ("a4-3x7", 21, (210.0, 297.0)),
        ("letter-3x10", 30, (215.9, 279.4)),
    ):
        with american(chromium, evening, 820) as page:
            page.goto(LABELS.format(count, label))
            printed = page.pdf(prefer_css_page_size=True, print_background=True)
            page.emulate_media(media="print")
            sheet = page.locator("svg.labels")
            shown, taken = sheet.bounding_box(), sheet.screenshot()
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1
        box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)
        assert box is not None
        assert [float(one) * 25.4 / 72 for one in box.groups()] == pytest.approx(paper, abs=0.3)
        assert shown is not None
        assert (shown["x"], shown["y"]) == (0, 0)
        sizes = [shown[side] * 25.4 / 96 for side in ("width", "height")]
        assert sizes == pytest.approx(paper, abs=0.3)
        with Image.open(io.BytesIO(taken)) as picture:
            found = zxingcpp.read_barcodes(np.asarray(picture.convert("L")))
        assert len(found) == count
        assert len({one.text for one in found}) == 1


@pytest.mark.usefixtures("usual")
def test_the_record_shows_its_photos_and_its_weather(phone: Callable[..., Page]) -> None:
    page = phone()
    page.goto("/pours/1/record")
    page.wait_for_load_state("networkidle")
    widths = page.evaluate("[...document.querySelectorAll('img')].map(one => one.naturalWidth)")
    assert widths == [16, 16, 16]  # the newest stands at the head too
    assert page.locator("svg rect.swatch").count() == 4 + 1  # days, and the legend


@pytest.mark.parametrize(("kind", "size"), [("jpg", [8, 16]), ("png", [16, 8]), ("webp", [16, 8])])
def test_a_browser_still_draws_what_is_left_of_a_photo_and_the_right_way_up(
    phone: Callable[..., Page],
    store: Store,
    pour_id: int,
    now: datetime,
    taken_outdoors: Callable[[str], bytes],
    kind: str,
    size: list[int],
) -> None:
    with store.unit_of_work() as session:
        keep_photo(session, now, pour_id, taken_outdoors(kind), at=now)
    page = phone()
    page.goto(f"/pours/{pour_id}/photos")
    image = page.locator("img.photo")
    image.scroll_into_view_if_needed()
    page.wait_for_function("() => document.querySelector('img.photo').complete")
    assert image.evaluate("one => [one.naturalWidth, one.naturalHeight]") == size


@pytest.mark.parametrize("script", [True, False])
def test_a_large_photo_is_kept__and_made_smaller_where_the_phone_can(
    phone: Callable[..., Page], store: Store, pour_id: int, tmp_path: Path, script: bool
) -> None:
    file = tmp_path / "large.png"
    file.write_bytes(noise_png(1200, 800))
    page = phone(script=script)
    page.goto(f"/pours/{pour_id}/photos")
    page.set_input_files("#chosen", file)
    if script:
        page.wait_for_function(
            "() => document.getElementById('chosen').files[0].type == 'image/jpeg'"
        )
    page.get_by_role("button", name="Keep the photo").click()
    assert page.locator(".said").inner_text().startswith("✓ Photo kept.")
    with store.reading() as session:
        (kept,) = photos_of(session, pour_id)
    large = file.stat().st_size
    assert (kept.media_type, kept.size_bytes < large) == (
        ("image/jpeg", True) if script else ("image/png", False)
    )


def noise_png(width: int, height: int) -> bytes:
    """A picture that no encoder can make small."""
    pixels = np.random.default_rng(7).integers(0, 256, (height, width * 3), dtype=np.uint8)
    rows = b"".join(b"\0" + row.tobytes() for row in pixels)

    def chunk(name: bytes, content: bytes) -> bytes:
        crc = struct.pack(">I", zlib.crc32(name + content))
        return struct.pack(">I", len(content)) + name + content + crc

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows, 1)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body
