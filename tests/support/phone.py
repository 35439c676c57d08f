"""A phone without script: it reads a page, fills its forms, and sends what a browser would send."""

from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser

from httpx2 import Response
from starlette.testclient import TestClient

VOID = {"input", "meta", "link", "br", "img"}


@dataclass
class Sheet:
    """One form of a page: where it goes, and what its fields hold."""

    action: str
    method: str
    fields: dict[str, list[str]] = field(default_factory=dict)
    buttons: list[tuple[str, str, str]] = field(default_factory=list)  # words, name, value


class Page:
    """The parts of a page that a maker sees or uses, read when a test first asks for one."""

    def __init__(self, text: str) -> None:
        self.source = text

    @cached_property
    def _parts(self) -> "_Parts":
        parts = _Parts()
        parts.feed(self.source)
        return parts

    @property
    def forms(self) -> list[Sheet]:
        return self._parts.forms

    @property
    def links(self) -> list[str]:
        return self._parts.links

    @property
    def words(self) -> list[str]:
        return self._parts.words

    @property
    def notes(self) -> dict[str, str]:
        return self._parts.notes

    @property
    def alone(self) -> list[str]:
        """Attributes that a strict content policy refuses."""
        return self._parts.alone

    @cached_property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())

    def form(self, ending: str, button: str = "") -> Sheet:
        """The form whose address ends so, and that has a button of these words."""
        found = [
            one
            for one in self.forms
            if one.action.endswith(ending)
            and (not button or any(button in words for words, _, _ in one.buttons))
        ]
        assert found, f"no form to {ending!r} with {button!r}; there are {self.forms}"
        return found[0]


class _Parts(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[Sheet] = []
        self.links: list[str] = []
        self.words: list[str] = []
        self.notes: dict[str, str] = {}
        self.alone: list[str] = []
        self._open: list[tuple[str, str]] = []  # with the field that a note is beside
        self._within: Counter[str] = Counter()
        self._noted: list[str] = []
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.alone += [name for name in given if name == "style" or name.startswith("on")]
        if tag == "script" and "src" not in given:
            self.alone.append("script")
        if tag not in VOID:
            beside = given["id"].removesuffix("-w") if given.get("class") == "note" else ""
            self._open.append((tag, beside))
            self._within[tag] += 1
            self._noted += [beside] if beside else []
        if tag == "a":
            self.links.append(given.get("href", ""))
        elif tag == "form":
            self.forms.append(Sheet(given.get("action", ""), given.get("method", "get")))
        elif tag == "input":
            self._input(given)
        elif tag == "select":
            self._select = given["name"]
        elif tag == "option" and self._select and "selected" in given:
            self.forms[-1].fields[self._select] = [given["value"]]
        elif tag == "option" and self._select:
            self.forms[-1].fields.setdefault(self._select, [given["value"]])
        elif tag == "button" and self._in("form") and given.get("type") != "button":
            self.forms[-1].buttons.append(("", given.get("name", ""), given.get("value", "")))

    def handle_endtag(self, tag: str) -> None:
        while self._open:
            name, beside = self._open.pop()
            self._within[name] -= 1
            if beside:
                self._noted.pop()
            if name == tag:
                break
        if tag == "select":
            self._select = ""

    def handle_data(self, data: str) -> None:
        if self._in("title") and not self._in("svg"):
            return
        self.words.append(data)
        if self._in("button") and self._in("form") and self.forms[-1].buttons:
            words, name, value = self.forms[-1].buttons[-1]
            self.forms[-1].buttons[-1] = (f"{words}{data}".strip(), name, value)
        for key in self._noted:
            self.notes[key] = self.notes.get(key, "") + data

    def _in(self, tag: str) -> bool:
        return self._within[tag] > 0

    def _input(self, given: dict[str, str]) -> None:
        if "name" not in given or not self.forms:
            return
        if given.get("type") in ("radio", "checkbox") and "checked" not in given:
            return
        self.forms[-1].fields.setdefault(given["name"], []).append(given.get("value", ""))


@dataclass
class Phone:
    """Opens pages and sends forms; `page` is what it shows, `status` how it was answered."""

    client: TestClient
    page: Page = field(default_factory=lambda: Page(""))
    status: int = 0
    path: str = ""

    def open(self, path: str) -> Page:
        return self._show(self.client.get(path))

    def send(self, sheet: Sheet, button: str = "", **changed: str | list[str]) -> Page:
        """Send a form with some fields filled anew; names take __ for a dot."""
        fields = {name: list(values) for name, values in sheet.fields.items()}
        for name, value in changed.items():
            fields[name.replace("__", ".")] = value if isinstance(value, list) else [value]
        for words, name, value in sheet.buttons:
            if name and button and button in words:
                fields[name] = [value]
        if sheet.method == "get":
            return self._show(self.client.get(sheet.action, params=fields))
        return self._show(self.client.post(sheet.action, data=fields))

    def _show(self, response: Response) -> Page:
        self.status, self.path = response.status_code, str(response.url.path)
        self.page = Page(response.text)
        return self.page
