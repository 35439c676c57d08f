"""What an empty shop is asked before its first pour, answered."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

FIRST = {
    "piece__length_mm": "1200 mm",
    "piece__width_mm": "600 mm",
    "piece__thickness_mm": "50 mm",
    "mix__kind": "general-purpose",
    "place__kind": "open yard",
}


def answer(page: Page, **instead: str) -> None:
    """Answer the three questions of the first page by thumb, some otherwise than usual."""
    for key, value in (FIRST | instead).items():
        name = key.replace("__", ".")
        if name.endswith(".kind"):
            page.locator("label", has=page.locator(f"[name='{name}'][value='{value}']")).tap()
        else:
            page.locator(f"[id='{name}']").fill(value)
