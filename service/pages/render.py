"""Templates to responses; the environment is strict, so a missing name is a fault and not a gap."""

import re
import uuid
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode

from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined

from models.piece.measures import OPENED
from service import region, under_path, words
from service.nouns import piece, units
from service.pages import flash, kept, static_files, view
from service.pages.spelt import Spelt
from service.store.writer import writer
from service.words import PLAIN, Reader
from service.words.reader import LANGUAGES
from service.words.spelling import american

INDENT = re.compile(r"\n\s+")


class Lean(PackageLoader):
    """Templates without their indentation; what people typed keeps its blanks."""

    def get_source(
        self, environment: Environment, template: str
    ) -> tuple[str, str, Callable[[], bool] | None]:
        source, path, fresh = super().get_source(environment, template)
        return INDENT.sub("\n", source), path, fresh


def _environment(language: str) -> Environment:
    made = Environment(
        loader=Lean("service.pages"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
        extensions=[Spelt],
    )
    made.globals["language"] = language
    made.filters["spelt"] = american if language == "en-US" else str
    return made


environments = {language: _environment(language) for language in LANGUAGES}
for environment in environments.values():
    environment.globals.update(
        new_key=lambda: uuid.uuid4().hex,
        who=writer.get,
        sent_at=lambda: datetime.now(UTC).isoformat(timespec="milliseconds"),  # for phones' clocks
        glyph=view.GLYPHS,
        static=static_files.address,
        keyboard=units.keyboard,
        unit_sign=units.sign,
        saved=flash.current,
        zones=region.zones,
        kinds_with=piece.KINDS_WITH,
        face_kinds=piece.face_kinds(),
        opened=OPENED,
    )
    environment.filters["live"] = kept.live
    environment.filters["sentence"] = view.sentence
    environment.filters["source"] = words.source


def page(
    template: str, status: int = 200, *, tab: str = "", reader: Reader = PLAIN, **shown: Any
) -> HTMLResponse:
    """A page, not kept by the browser: what it says is true for minutes.

    Templates get `reader` and `measure(value, "length_mm")`, in the reader's units.
    """

    def measure(value: float | None, dimension: str) -> str:
        return words.measure(value, dimension, reader)

    text = (
        environments[reader.language]
        .get_template(template)
        .render(tab=tab, reader=reader, measure=measure, **shown)
    )
    return HTMLResponse(under_path.addressed(text), status, {"Cache-Control": "no-store"})


def trouble(path: str, status: int, title: str, problems: Sequence[str]) -> HTMLResponse:
    """A page that says what is wrong and leads back."""
    parts = path.strip("/").split("/")
    back = f"/pours/{parts[1]}" if parts[0] == "pours" and len(parts) > 2 else "/"
    return page("trouble.html", status, title=title, problems=problems, back=back)


def query(values: Mapping[str, object]) -> str:
    """The part of an address after the question mark."""
    return urlencode({name: str(value) for name, value in values.items() if value != ""})
