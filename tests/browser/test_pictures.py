"""Every page of the invented shop as a picture; for whoever reads the repository they are kept:

CASTCLOCK_PICTURES=deploy/pages pytest tests/browser/test_pictures.py

In the suite every other page is taken, in one theme, in turn, to a temporary folder. The clock
stands still, so that a picture changes only where its page does.
"""

import io
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from tests.support.shown import HEIGHT, PAGES, american
from tests.support.thorough import some

pytestmark = pytest.mark.browser
THEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
WIDTH = 390
PAPER_PX = 703  # A4 within its margins
COLOURS = 32  # of a picture: few enough to be small, enough for both themes
MOST_BYTES = 3_000_000  # of all of them
SCREENS = {"today": 1.5, **{name: 2.5 for name in PAGES if name.startswith("piece-")}}  # at most
SCREENS["piece-to-cover"] = 2.6  # fresh concrete: its caution stands before the step
ON_PAPER = ("today", "piece-between-coats", "week", "record", "care", "labels")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    found = Path(os.environ.get("CASTCLOCK_PICTURES", "") or tmp_path / "pictures")
    found.mkdir(parents=True, exist_ok=True)
    return found


@pytest.fixture
def opened(chromium: Browser, evening: str) -> Iterator[Page]:
    with american(chromium, evening, WIDTH, reduced_motion="reduce") as page:
        yield page


def test_every_page_has_its_picture(opened: Page, folder: Path) -> None:
    taken = []
    kept = "CASTCLOCK_PICTURES" in os.environ
    every = 1 if kept else some(2, 1)
    for k, (name, path) in enumerate([*PAGES.items()][::every]):
        for scheme in THEMES if kept else THEMES[k % 2 :][:1]:
            taken.append(folder / f"{name}-{scheme}.png")
            tall = _take(opened, path, scheme, taken[-1])
            assert tall <= SCREENS.get(name, tall) * HEIGHT, f"{name} is {tall} px high"
    for name in ON_PAPER[::every]:
        taken.append(folder / f"{name}-paper.png")
        _take(opened, PAGES[name], "light", taken[-1], paper=True)
    assert sum(file.stat().st_size for file in taken) < MOST_BYTES


def _take(
    page: Page, path: str, scheme: Literal["light", "dark"], file: Path, *, paper: bool = False
) -> int:
    """The whole page in a window as high as it is, so that its bar lies at its end; its height."""
    page.set_viewport_size({"width": PAPER_PX if paper else WIDTH, "height": HEIGHT})
    page.emulate_media(color_scheme=scheme, media="print" if paper else "screen")
    answer = page.goto(path, timeout=120_000)  # a week is worked out
    assert answer is not None
    assert answer.ok, f"{path}: {answer.status}"
    page.wait_for_load_state("networkidle")
    width, height = page.evaluate(
        "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    )
    assert width <= (PAPER_PX if paper else WIDTH), f"{path} scrolls sideways"
    page.set_viewport_size({"width": width, "height": height})
    with Image.open(io.BytesIO(page.screenshot())) as picture:
        assert len(picture.convert("RGB").getcolors(1 << 20) or ()) > 2, f"{path} is empty"
        picture.convert("RGB").quantize(COLOURS).save(file, optimize=True)
    return int(height)
