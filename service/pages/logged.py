"""What was put down about a pour, in words: readings, tests, batches, notes, covers, what it is."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from models.records import Batch, Piece, Pour, Reading, StrengthTest
from service.answers import PourSummaryResponse, read_answer
from service.nouns.mould import usual_board
from service.nouns.place import PLACE_WORDS
from service.nouns.reading import DRYING_WORDS, LOOK_WORDS, READING_WORDS, SET_WORDS
from service.nouns.strength_test import TEST_WORDS
from service.pages import page_data, view

SHOWN_READINGS = 8
DATED = re.compile(r"(\d{4}-\d\d-\d\d \d\d:\d\d) (.*)")
MEASURES = ("length", "width", "thickness", "height", "wall")


@dataclass(frozen=True)
class Button:
    """What it says, where it is posted to, and what it sends."""

    words: str
    action: str
    fields: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Entry:
    """One thing that was logged: words, when, and what may be done about that very row."""

    words: str
    at: view.Moment | None
    buttons: tuple[Button, ...] = ()


def entries(data: page_data.PourData, clock: view.Clock) -> list[Entry]:
    """Tests, batches, readings and notes, the newest first in each."""
    base = f"/pours/{data.pour.id}"

    def entry(path: str, row: Batch | Reading | StrengthTest, words: str) -> Entry:
        remove = Button("Remove", f"{base}/{path}/{row.id}/remove")
        return Entry(words, clock(row.at), (remove, *_mark(row, base)))

    tests = [entry("tests", row, _test(row, clock)) for row in reversed(data.tests)]
    batches = [
        entry("batches", row, view.batch_words(row, clock.reader)) for row in reversed(data.batches)
    ]
    readings = [
        entry("readings", row, reading(row, clock))
        for row in data.readings[: -SHOWN_READINGS - 1 : -1]
    ]
    return [*tests, *batches, *readings, *_notes(data.pour, clock)]


def _test(row: StrengthTest, clock: view.Clock) -> str:
    return f"{TEST_WORDS[row.kind].split(',')[0]} {clock.measure(row.MPa, 'stress_MPa')}"


def _mark(row: Batch | Reading | StrengthTest, base: str) -> Iterator[Button]:
    if isinstance(row, Reading):
        mark, words = (
            ("right", "It counts after all") if row.wrong else ("wrong", "Instrument was wrong")
        )
        yield Button(words, f"{base}/readings/{row.id}/{mark}")


def reading(row: Reading, clock: view.Clock) -> str:
    """A reading with what was read of."""
    wrong = " (instrument wrong: not counted)" if row.wrong else ""
    if row.kind in DRYING_WORDS and row.kind != "tile":
        return DRYING_WORDS[row.kind] + wrong
    if row.kind in LOOK_WORDS:
        return f"corner: {LOOK_WORDS[row.kind]}{wrong}"
    if row.kind in SET_WORDS:
        return f"set seen, {SET_WORDS[row.kind]}{wrong}"
    of = {
        "tile": "witness tile",
        "humidity": "humidity of the air",
        "air-min-max": f"air over {row.span_h:g} h",
    }.get(row.kind) or READING_WORDS[row.kind].split(",")[0]
    return f"{of}: {short(row, clock)}{wrong}"


def short(row: Reading, clock: view.Clock) -> str:
    """Its number alone."""
    if row.kind == "tile":
        return clock.measure(row.mass_g, "mass_g")
    if row.kind == "humidity":
        return f"{row.rh_pct:g} %"
    value = clock.measure(row.value_C, "temperature_C")
    if row.kind != "air-min-max":
        return value
    return f"low {value}, high {clock.measure(row.value_max_C, 'temperature_C')}"


def _notes(pour: Pour, clock: view.Clock) -> Iterator[Entry]:
    """Lines of the note that have their hour."""
    for line in reversed(pour.note.splitlines()):
        dated = DATED.fullmatch(line)
        if dated:
            at = datetime.fromisoformat(dated[1]).replace(tzinfo=clock.zone)
            remove = Button("Remove", f"/pours/{pour.id}/note/remove", (("line", line),))
            yield Entry(dated[2], clock(at), (remove,))


@dataclass(frozen=True)
class Cover:
    """A cover that lay or lies on the piece."""

    words: str
    on: view.Moment | None
    off: view.Moment | None
    lies: bool
    base: str


def covers(data: page_data.PourData, clock: view.Clock) -> list[Cover]:
    """Every cover, the first first."""
    return [
        Cover(
            view.laid_words(row.kind, row.faces)
            + (f" at {clock.measure(row.setpoint_C, 'temperature_C')}" if row.setpoint_C else ""),
            clock(row.from_at),
            clock(row.to_at),
            row.from_at <= clock.now and (row.to_at is None or row.to_at > clock.now),
            f"/pours/{data.pour.id}/covers/{row.id}",
        )
        for row in data.protections
    ]


def facts(data: page_data.PourData, clock: view.Clock) -> list[tuple[str, str]]:
    """What was poured, where and into what, measured as its reader measures."""
    summary = read_answer(data.projection.answer).pour if data.projection else PourSummaryResponse()
    found = list(_measures(data.piece, clock))
    if summary.volume_l is not None:
        found.append(("Volume", clock.measure(summary.volume_l, "concrete_l")))
        found.append(("Mass", clock.measure(summary.mass_kg, "mass_kg")))
        if summary.bags is not None:
            found.append(("Bags needed", f"{summary.bags} ({summary.bags_net} net)"))
    strip = next((one for one in data.done if one.step == "strip"), None)
    if strip is not None and strip.came_out:
        found.append(("Came out of the mould", strip.came_out))
    if data.pour.sealed_as:
        found.append(("Its seal", data.pour.sealed_as))
    if data.pour.held_up:
        found.append(("A month on", data.pour.held_up))
    found += [
        ("Mix", data.mix.name),
        ("Place", f"{data.place.name}: {PLACE_WORDS[data.place.kind]}"),
    ]
    assumed = f"{usual_board(clock.reader)} (assumed)"
    found.append(("Mould", data.mould.name if data.mould else assumed))
    found.append(("Sealer", _sealers(data) or "not chosen yet"))
    return found + list(_poured(data.pour, clock))


def _sealers(data: page_data.PourData) -> str:
    return ", then ".join(one.name for one in (data.sealer, *data.then) if one)


def _measures(piece: Piece, clock: view.Clock) -> Iterator[tuple[str, str]]:
    for part in MEASURES:
        mm = getattr(piece, f"{part}_mm")
        if mm is not None:
            yield part.capitalize(), clock.measure(mm, "length_mm")
    for k, hole in enumerate(piece.openings):
        sides = (clock.measure(hole[part], "length_mm") for part in ("length_mm", "width_mm"))
        yield f"Opening {k + 1}", " × ".join(sides)


def _poured(pour: Pour, clock: view.Clock) -> Iterator[tuple[str, str]]:
    if pour.concrete_C is not None:
        yield "Concrete as placed", clock.measure(pour.concrete_C, "temperature_C")
    if pour.water_added_l:
        yield "Extra water", clock.measure(pour.water_added_l, "volume_l")
    if pour.bags is not None:
        yield "Bags poured", f"{pour.bags:g}"
    lines = [line for line in pour.note.splitlines() if not DATED.fullmatch(line)]
    if any(lines):
        yield "Note", " ".join(lines)
