"""A thumb on a page: whatever is tapped, chosen or typed by it is counted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page


@dataclass
class Thumb:
    """The only hand on its page. A choice is a tap, and so is what unfolds; a box is a field,
    however many keys it takes. To open the first address counts nothing."""

    page: Page
    taps: int = 0
    fields: int = 0

    @property
    def inputs(self) -> int:
        return self.taps + self.fields

    def open(self, path: str) -> None:
        assert self.inputs == 0, "a maker taps what leads there"
        self.page.goto(path)

    def press(self, role: Literal["button", "link"], name: str, *, exact: bool = False) -> None:
        self._tap(self.page.get_by_role(role, name=name, exact=exact).first)

    def unfold(self, words: str) -> None:
        self._tap(self.page.locator("summary", has_text=words).first)

    def choose(self, field: str, value: str) -> None:
        radio = self.page.locator(f"[name='{field}'][value='{value}']")
        self._tap(self.page.locator("label", has=radio))

    def type(self, field: str, text: str) -> None:
        self.fields += 1
        self.page.locator(f"[id='{field}']").fill(text)

    def _tap(self, what: Locator) -> None:
        self.taps += 1
        what.tap()
