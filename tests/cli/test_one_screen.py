"""What the command line says on one screen, and that --all says the rest."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from service import scenario_file
from tests.support.command import castclock
from tests.support.words import said

HERON = Path(scenario_file.__file__).parent / "demo_data" / "heron-bench.toml"
SCENARIOS = sorted(HERON.parent.glob("*.toml"))
# of --all: a step whose hour is probable or sure, with its three hours
HOURS = re.compile(r"\S.{13} (?:open|closing|not yet) +(?=.*:)(.{27})(.{27})(.+)$")
SVG = "{http://www.w3.org/2000/svg}"
LINES = 48  # of a terminal, frost warnings and all


def asked(*arguments: str | Path) -> str:
    ended = castclock(*arguments)
    assert (ended.code, ended.err) == (0, "")
    return ended.out


@pytest.mark.parametrize("columns", [72, 120])
@pytest.mark.parametrize("command", ["timeline", "pour-check"])
def test_an_answer_keeps_to_the_width_of_the_terminal(
    monkeypatch: pytest.MonkeyPatch, command: str, columns: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = asked(command, HERON).splitlines()
    assert max(map(len, lines)) <= columns
    assert columns < 100 or len(lines) <= LINES


def test_the_next_steps_stand_first_with_what_to_mind_and_what_was_assumed() -> None:
    text = asked("timeline", HERON)
    head, _, rest = text.partition(f"\n{said('screen_next')}\n")
    steps = rest.partition(f"\n{said('screen_then')}")[0]
    assert "float and finish" in steps
    assert "probably from" in steps
    assert "safe from" in steps
    assert "gloves" in steps, "the cautions of the next step"
    assert "mix cement_kg_m3" in rest, "what was assumed"
    assert "frost" in head


@pytest.mark.parametrize("command", ["timeline", "pour-check"])
def test_an_american_reads_dates_and_sizes_as_at_home(command: str) -> None:
    text = asked(command, HERON, "--units", "us", "--all")
    head = text.partition("\n\n")[0]
    assert "Wed Oct 14, 2026, 6:00 pm" in head
    assert "14 Oct" not in text
    assert "2 3/8 in" in head
    assert " mm" not in head


def test_a_missed_step_is_named_and_is_not_next() -> None:
    text = asked("timeline", HERON, "--now", "2026-10-15T12:00-05:00")
    steps = text.partition(f"\n{said('screen_next')}\n")[2].partition("\n\n")[0]
    assert "float" not in steps
    assert "Missed" in text


def test_all_says_what_one_screen_leaves_out() -> None:
    short, whole = asked("timeline", HERON), asked("timeline", HERON, "--all")
    for words in (said("print_plan"), said("print_cautions")):
        assert words not in short
        assert words in whole


@pytest.mark.parametrize(
    "asking",
    [
        *((file,) for file in SCENARIOS),
        # its window for uncovering is less than half a day
        (HERON.parent / "kiln-step.toml", "--now", "2026-07-21T13:00-06:00"),
    ],
    ids=lambda asking: asking[0].stem,
)
def test_both_outputs_tell_the_same_hours_of_every_step(
    monkeypatch: pytest.MonkeyPatch, asking: tuple[str | Path, ...]
) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    screen = " ".join(asked("timeline", *asking).split())
    heads = [said(f"screen_{end}", at_shown="") for end in ("probably", "safe", "late")]
    seen = 0
    for line in asked("timeline", *asking, "--all").splitlines():
        told = HOURS.match(line)
        if told is None:
            continue
        cells = [told[k].strip() for k in (1, 2, 3)]
        row = " ".join(cells)
        head = "; ".join(
            f"{words}{at}" for words, at in zip(heads, cells, strict=True) if at != "-"
        )
        assert row in screen or head in screen, line
        seen += 1
    assert seen


def test_the_timeline_is_drawn_into_a_file_that_stands_alone(tmp_path: Path) -> None:
    file = tmp_path / "heron.svg"
    printed = asked("timeline", HERON, "--units", "us", "--svg", file)
    assert said("screen_next") in printed, "the answer is printed all the same"
    root = ElementTree.parse(file).getroot()
    assert root.tag == f"{SVG}svg"
    title, style = root.find(f"{SVG}title"), root.find(f"{SVG}style")
    assert title is not None
    assert "heron-bench" in (title.text or "")
    assert style is not None
    assert "prefers-color-scheme:dark" in (style.text or "")
    words = [one.text or "" for one in root.iter(f"{SVG}text")]
    assert any(one.startswith("Strip the walls") for one in words)
    assert any("psi" in one for one in words)
    assert "http" not in file.read_text("utf-8").replace(SVG.strip("{}"), "")
    drawn = {one.get("data-step") for one in root.iter(f"{SVG}path") if one.get("class") == "safe"}
    assert "strip" in drawn


def test_a_picture_that_cannot_be_written_is_told_with_its_name(tmp_path: Path) -> None:
    ended = castclock("timeline", HERON, "--svg", tmp_path / "no folder" / "heron.svg")
    assert ended.code != 0
    assert "no folder" in ended.err
    assert "--svg" in ended.err
    assert "Traceback" not in ended.err
