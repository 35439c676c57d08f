"""The picture of a pour, read back from its SVG: what is drawn is what was told."""

import re
from datetime import UTC, datetime, time, timedelta
from functools import cache
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from models.planning.timeline import project
from models.results import Projection
from service import answers, scenario_file
from service.answers import AnswerResponse, ConcreteResponse, StepWindowResponse
from service.pages import timeline_axis, timeline_picture
from service.pages.timeline_curves import LETTER, PHONE, WIDE, Look
from service.pages.timeline_marks import row_of
from service.pages.timeline_picture import Around
from service.pages.timeline_rows import Row
from service.pages.view import Clock
from service.weather import csv_file
from service.words import Reader
from tests.support.phone import Page, Phone
from tests.support.shop import Hands

DATA = Path(scenario_file.__file__).parent / "demo_data"
SVG = "{http://www.w3.org/2000/svg}"
NAMES = ("two-moulds/4-square-slab", "heron-bench")
DRYING = "two-moulds/2-square-top"  # dry while its hours are still drawn
PX = 1.0  # the width of a line
AROUND = Around(48.0, 11.0, (time(7), time(21)))


@cache
def told(name: str) -> tuple[Projection, datetime, str]:
    file = scenario_file.read(DATA / f"{name}.toml")
    assert isinstance(file.weather, Path)
    assert file.asked_at is not None
    air = csv_file.read(file.weather, file.weather.name, issued_at=file.asked_at)
    zone = file.scenario.site.timezone
    return project(file.scenario, air, file.asked_at), file.asked_at, zone


@cache
def answered(name: str) -> tuple[AnswerResponse, ConcreteResponse]:
    projection, _, zone = told(name)
    concrete = answers.concrete(projection)
    assert concrete is not None
    return answers.answer(projection, Reader(zone)), concrete


def drawing(name: str, answer: AnswerResponse | None = None) -> ElementTree.Element:
    """The wide picture of a scenario."""
    told_answer, concrete = answered(name)
    _, now, zone = told(name)
    text = timeline_picture.alone(
        answer or told_answer, concrete, AROUND, Reader(zone), Clock(now, Reader(zone)), name
    )
    return ElementTree.fromstring(text)


def picture(
    answer: AnswerResponse,
    concrete: ConcreteResponse | None,
    reader: Reader,
    now: datetime,
    name: str,
) -> str:
    """The figure of a page."""
    return timeline_picture.of(answer, concrete, AROUND, reader, Clock(now, reader), name)


def points(d: str) -> list[tuple[float, float]]:
    """The corners of a path of straight lines."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", d)]


def begins(root: ElementTree.Element, kind: str, step: str) -> float | None:
    """Where the mark of a step begins; None where none is drawn."""
    for path in root.iter(f"{SVG}path"):
        if path.get("class") == kind and path.get("data-step") == step:
            return points(path.get("d", ""))[0][0]
    return None


def lacks(root: ElementTree.Element, step: StepWindowResponse, level: float, at: float) -> float:
    """How far under what a step asks for the drawn curve of a level is at a place across [px]."""
    of = "section" if step.step in ("core", "end-wet-cure", "full-use") else "slowest"
    return below(root, step.step, of, level, at)


def below(root: ElementTree.Element, asked: str, of: str, level: float, at: float) -> float:
    """How far under a line that is asked for a curve lies at a place across [px]."""
    paths = [path.attrib for path in root.iter(f"{SVG}path")]
    need = next(p for p in paths if p.get("class") == "need" and p.get("data-step") == asked)
    height = float(need["d"].split("H")[0].split()[1])
    curves = [p for p in paths if p.get("data-of") == of]
    line = points(next(p for p in curves if float(p["data-level"]) == pytest.approx(level))["d"])
    for (x0, y0), (x1, y1) in pairwise(line):
        if x0 <= at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0) - height
    raise AssertionError(f"{asked}: no curve at {at}")


def opens_by_strength(step: StepWindowResponse) -> bool:
    """Whether its strength is what opens it: nothing is told to come later."""
    codes = [one.code for one in step.reasons if one.code != "after_step"]
    return codes[0] in ("needs_MPa", "has_and_needs_MPa")


@pytest.mark.parametrize("name", NAMES)
def test_each_bar_opens_where_the_drawn_band_crosses_its_level(name: str) -> None:
    answer, _ = answered(name)
    root = drawing(name)
    held = 0
    for step in answer.steps:
        if step.need.unit != "MPa" or step.done_at or step.step == "end-wet-cure":
            continue  # the wet cure ends by the days of the code too
        for kind, level in (("likely", 0.5), ("safe", step.level or 0.9)):
            bar = begins(root, kind, step.step)
            if bar is None:
                continue
            assert lacks(root, step, level, bar) <= 1.5 * PX, (step.step, kind)
            if opens_by_strength(step) and step.step not in ("sand", "turn"):
                assert lacks(root, step, level, bar) >= -1.5 * PX, (step.step, kind)
                held += 1
    assert held >= 2


def test_the_bar_of_dry_enough_opens_where_the_drawn_dampness_comes_down_to_its_level() -> None:
    """Within 2 px, 0.8 % of humidity: the middle of the hours is near the hour of the middle."""
    answer, _ = answered(DRYING)
    dry = next(one for one in answer.steps if one.step == "dry-to-seal")
    assert dry.earliest.p50 is not None
    bar = begins(root := drawing(DRYING), "likely", dry.step)
    assert bar is not None
    assert abs(below(root, "seal", "damp", 0.5, bar)) <= 2 * PX
    earlier = {"p50": dry.earliest.p50 - timedelta(days=5)}
    sooner = dry.model_copy(update={"earliest": dry.earliest.model_copy(update=earlier)})
    steps = [sooner if one is dry else one for one in answer.steps]
    moved = drawing(DRYING, answer.model_copy(update={"steps": steps}))
    too_early = begins(moved, "likely", dry.step)
    assert too_early is not None
    assert below(moved, "seal", "damp", 0.5, too_early) < -2 * PX, "still too damp there"


def test_a_bar_drawn_hours_too_early_would_be_seen() -> None:
    answer, _ = answered(NAMES[0])
    strip = next(one for one in answer.steps if one.step == "strip")
    assert strip.earliest.safe is not None
    sooner = {"safe": strip.earliest.safe - timedelta(hours=6)}
    moved = strip.model_copy(update={"earliest": strip.earliest.model_copy(update=sooner)})
    steps = [moved if one is strip else one for one in answer.steps]
    root = drawing(NAMES[0], answer.model_copy(update={"steps": steps}))
    bar = begins(root, "safe", "strip")
    assert bar is not None
    assert lacks(root, strip, strip.level or 0.9, bar) > 1.5 * PX


def test_words_never_stand_on_a_curve() -> None:
    """Words beside the fields stand right of the axis, those over them above their tops."""
    root = drawing(NAMES[0])
    curves = [
        points(path.get("d", ""))
        for path in root.iter(f"{SVG}path")
        if path.get("class") in ("middle", "edge", "section", "coldest", "air")
        and "h" not in path.get("d", "")  # the sample in the key
    ]
    right = max(x for line in curves for x, _ in line)
    for text in root.iter(f"{SVG}text"):
        x, y = float(text.get("x", "0")), float(text.get("y", "0"))
        if text.get("class") == "side":
            assert x > right
        else:
            under = [line for line in curves if any(abs(py - y) < 2 for _, py in line)]
            assert not [line for line in under if line[0][0] <= x <= line[-1][0]], text.text


@pytest.mark.parametrize("look", [PHONE, WIDE])
def test_long_names_and_hours_are_broken_into_lines_and_never_cut_off(look: Look) -> None:
    at = datetime(2026, 6, 21, tzinfo=UTC)
    axis = timeline_axis.axis(at, at, at, UTC, look.left, look.right)
    title = "Covered: two blankets, heated enclosure"
    shown = "probably Tue Oct 27, 12:00 pm UTC (7:00 am CDT there)"
    parts, _, end = row_of(Row("x", title, shown, safe=at), axis, look, 0.0, at)
    texts = [one for one in map(ElementTree.fromstring, parts) if one.tag == "text"]
    assert " ".join(one.text or "" for one in texts) == f"{title} {shown}"
    for one in texts:
        x, wide = float(one.get("x", "0")), LETTER * look.text * len(one.text or "")
        left = x - wide if one.get("class") == "end" else x
        assert left >= 0
        assert left + wide <= look.width
        assert float(one.get("y", "0")) <= end


def test_a_screen_reader_hears_the_steps_in_their_order() -> None:
    root = drawing("heron-bench")
    described = root.find(f"{SVG}desc")
    assert described is not None
    assert described.text is not None
    assert root.get("role") == "img"
    assert described.text.index("Strip the walls") < described.text.index("Turn it over")
    assert "safe from" in described.text


def test_without_weather_no_bar_is_drawn_and_the_picture_says_so() -> None:
    answer, _ = answered("heron-bench")
    no_hours = {"p50": None, "p90": None, "safe": None}
    steps = [
        one.model_copy(
            update={
                "state": "blocked",
                "latest": None,
                "earliest": one.earliest.model_copy(update=no_hours),
                "need": one.need.model_copy(update={"unit": "record"}),
            }
        )
        for one in answer.steps
    ]
    blind = answer.model_copy(update={"steps": steps, "plan": [], "coat_plan": None})
    _, now, zone = told("heron-bench")
    page = timeline_picture.of(
        blind, None, AROUND, Reader(zone), Clock(now, Reader(zone)), "A bench"
    )
    assert "no weather" in page
    assert 'class="safe" data-step' not in page
    assert 'class="likely" data-step' not in page


def test_nights_are_those_of_the_place_and_none_where_it_is_not_told() -> None:
    at = datetime(2026, 6, 21, tzinfo=UTC)
    axis = timeline_axis.axis(at, at, at, UTC, 0.0, 480.0)
    hour = 480.0 / ((axis.end - axis.begin) / timedelta(hours=1))
    first = timeline_axis.nights(axis, 52.0, 0.0)[0]
    assert first[1] == pytest.approx(3.7 * hour, abs=0.4 * hour)  # sunrise of midsummer there
    assert timeline_axis.nights(axis, None, None) == []


def test_an_hour_lies_as_far_from_the_next_over_a_change_of_the_clocks() -> None:
    zone = Clock(datetime(2026, 10, 24, tzinfo=UTC), Reader("Europe/Paris")).zone
    at = datetime(2026, 10, 24, 12, tzinfo=zone)
    axis = timeline_axis.axis(at, at, at, zone, 0.0, 300.0)
    times = [axis.begin + timedelta(hours=k) for k in range(30)]
    steps = [axis.x(b) - axis.x(a) for a, b in zip(times, times[1:], strict=False)]
    assert max(steps) == pytest.approx(min(steps))


def test_the_page_of_a_pour_has_the_picture_and_its_hours_as_a_table(
    phone: Phone, poured: str, hands: Hands
) -> None:
    hands.forward(4)
    page: Page = phone.open(poured)
    drawn = re.findall(r'<svg class="timeline (\w+)"', page.source)
    assert drawn == ["phone", "wide", "key"]  # the marks of the small one are told a tap deeper
    rows = re.findall(r'<tr data-x="([\d.]+) ([\d.]+)"', page.source)
    assert len(rows) > 60
    assert [float(x) for x, _ in rows] == sorted(float(x) for x, _ in rows)
    assert page.alone == []


def test_a_name_is_written_as_it_was_typed() -> None:
    answer, concrete = answered("heron-bench")
    _, now, zone = told("heron-bench")
    name = 'Counter <b>"40 x 20"</b> & the long one of forty letters'
    page = timeline_picture.of(
        answer, concrete, AROUND, Reader(zone), Clock(now, Reader(zone)), name
    )
    assert "<b>" not in page.partition('<div class="hours">')[0]
