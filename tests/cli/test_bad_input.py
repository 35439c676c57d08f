"""What a maker mistypes in a scenario file: one line with file, key, value and what is allowed."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.command import castclock

GOOD = """\
[place]
kind = "covered"
latitude = 44.0
longitude = -92.0
timezone = "America/Chicago"

[mix]
class = "general-purpose"

[[mix.strength]]
age_h = 168
MPa = 19

[piece]
shape = "panel"
length_mm = 1400
width_mm = 800
thickness_mm = 45

[[piece.opening]]
length_mm = 300
width_mm = 300

[pour]
at = 2026-10-14T19:00:00-05:00

[[reading]]
at = 2026-10-14T20:00:00-05:00
kind = "air"
value = 9.5

[weather]
night_low_C = 2
day_high_C = 12
"""
ROWS = "time,air_C,dew_point_C,wind_m_s,rain_mm,cloud_pct\n"


def refused(folder: Path, text: str, *more: str) -> str:
    """The one line of complaint about a scenario."""
    file = folder / "larch.toml"
    file.write_text(text, encoding="utf-8")
    code, out, err = castclock("timeline", str(file), "--now", "2026-10-15T08:00-05:00", *more)
    assert code == 2
    assert out == ""
    assert len(err.splitlines()) == 1
    return err


CASES = [
    ("width_mm = 800", 'width_mm = "800 psi"', "piece.width_mm = '800 psi'", "38 mm"),
    ("width_mm = 800", 'width_mm = "800"', "piece.width_mm = '800': the unit is missing", "1 1/2"),
    ("width_mm = 800", "width_mm = nan", "piece.width_mm = nan: not a finite number", "38 mm"),
    ("width_mm = 800", "width_mm = -800", "piece.width_mm = -800", "50 to 6000 mm"),
    ("width_mm = 800", "width_mm = true", "piece.width_mm = True", "38 mm"),
    ("width_mm = 800", "width = 800", "piece.width = 800: not a known key", "width_mm perhaps"),
    ("width_mm = 800\n", "", "piece.width_mm = None: is missing", "38 mm"),
    ("length_mm = 300", "length_mm = 1600", "piece.opening[0].length_mm = 1600", "at most 1360 mm"),
    ("age_h = 168", "age_h = -3", "mix.strength[0].age_h = -3", "0.25 to 20000 h"),
    (
        "MPa = 19",
        "MPa = 19\n[[mix.strength]]\nage_h = 672\nMPa = 2.8",
        "mix.strength = 2.8: under 67% of what it was before",
        "19 MPa or more at 672 h",
    ),
    ('"general-purpose"', '"high-early"\nname = "\\u001b[2J"', "mix.name = '\\x1b[2J'", "a word"),
    ("MPa = 19", 'MPa = "19 C"', "mix.strength[0].MPa = '19 C'", "4000 psi"),
    ('"general-purpose"', '"ordinary"', "mix.class = 'ordinary'", "general-purpose | high-early"),
    ('"covered"', '"carport"', "place.kind = 'carport'", "open yard | covered"),
    ('"covered"', '"heated room"', "place.setpoint_C = None", "0 to 40 degC"),
    ('"America/Chicago"', '"Chicago"', "place.timezone = 'Chicago'", "America/Chicago"),
    ('"America/Chicago"', '"../etc/passwd"', "place.timezone", "America/Chicago"),
    ("2026-10-14T19:00:00-05:00", "2026-10-14T19:00:00", "pour.at", "ISO 8601 with offset"),
    ("2026-10-14T19:00:00-05:00", '"14 Oct, 7 pm"', "pour.at = '14 Oct, 7 pm'", "ISO 8601"),
    ("2026-10-14T19:00:00-05:00", "2027-10-14T19:00:00-05:00", "pour.at", "at most 60 days ahead"),
    ("2026-10-14T19:00:00-05:00", "0001-01-01T00:00:00+14:00", "pour.at", "2000 to 2099"),
    ("2026-10-14T20:00:00-05:00", "2026-10-16T20:00:00-05:00", "reading[0].at", "a time up to"),
    ('kind = "air"', 'kind = "air-min-max"', "reading[0].value = 9.5", "[low, high] in degC"),
    ("value = 9.5", "value = [12, 9]", "reading[0].value", "one temperature"),
    (
        'kind = "air"\nvalue = 9.5',
        'kind = "tile"',
        "reading[0].mass_g = None: is missing",
        "1840 g",
    ),
    ('kind = "air"\nvalue = 9.5', 'kind = "tile"\nmass_g = 3', "reading[0].mass_g = 3", "20 to"),
    (
        'kind = "air"\nvalue = 9.5',
        'kind = "tile"\nmass_g = "4 C"',
        "reading[0].mass_g = '4 C'",
        "1840 g",
    ),
    ('kind = "air"', 'kind = "tile"\nmass_g = 1800', "reading[0].value = 9.5", "mass_g alone"),
    ('kind = "air"', 'kind = "air"\nmass_g = 1800', "reading[0].mass_g = 1800", 'kind = "tile"'),
    ("night_low_C = 2\n", "", "weather.night_low_C = None: is missing", "13 C or 55 F"),
    ("night_low_C = 2", "night_low_C = 20", "weather.day_high_C = 12", "20 or more"),
    ("night_low_C = 2", 'file = "none.csv"', "weather.day_high_C = 12", "either weather.file or"),
    ("[weather]", "[sky]", "sky = ", "weather"),
    ("[piece]", "[[piece]]", "piece = ", "[piece] and keys under it"),
    ("[pour]\n", "[pour]\nat = ", "line 25", "not TOML"),
]


@pytest.mark.parametrize(("right", "wrong", "names", "allows"), CASES)
def test_a_scenario_that_cannot_be_names_file_key_value_and_what_is_allowed(
    tmp_path: Path, right: str, wrong: str, names: str, allows: str
) -> None:
    assert right in GOOD
    line = refused(tmp_path, GOOD.replace(right, wrong, 1))
    assert line.startswith("larch.toml: ")
    assert names in line
    assert allows in line


def test_the_scenario_that_the_cases_spoil_is_itself_good(tmp_path: Path) -> None:
    file = tmp_path / "larch.toml"
    file.write_text(GOOD, encoding="utf-8")
    code, out, err = castclock("timeline", str(file), "--now", "2026-10-15T08:00-05:00")
    assert (code, err) == (0, "")
    assert "strip" in out


def test_a_min_max_reading_with_its_ends_exchanged_is_refused(tmp_path: Path) -> None:
    text = GOOD.replace('kind = "air"', 'kind = "air-min-max"').replace("9.5", "[12, 9]")
    line = refused(tmp_path, text)
    assert "reading[0].value[1] = 9" in line
    assert "12 or more" in line


def test_a_scenario_of_ten_megabytes_is_refused(tmp_path: Path) -> None:
    line = refused(tmp_path, GOOD + "#" * 10_000_000)
    assert "too large; give at most 1000000 bytes" in line


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("x = " + "[" * 50_000, "nested too deeply"),
        ("x = " + "9" * 5_000, "not TOML"),
        ("x = 1\nx = 2\n", "not TOML"),
    ],
)
def test_a_scenario_made_to_hurt_is_refused_all_the_same(
    tmp_path: Path, text: str, wrong: str
) -> None:
    assert wrong in refused(tmp_path, text)


def test_a_scenario_that_is_no_text_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "photo.toml"
    file.write_bytes(b"\xff\xd8\xff\xe0")
    code, _, err = castclock("timeline", str(file))
    assert code == 2
    assert "not UTF-8" in err


def test_a_scenario_that_is_not_there_is_refused_by_name(tmp_path: Path) -> None:
    code, _, err = castclock("pour-check", str(tmp_path / "lost.toml"))
    assert code == 2
    assert err.startswith("lost.toml: file = ")


WEATHER = [
    (
        "2026-10-14T18:00-05:00,10,5,2,0,0\n2026-10-14T19:00-03:00,10,5,2,0,0\n",
        "one offset in the whole file",
    ),
    ("2026-10-14T18:00,10,5,2,0,0\n", "ISO 8601 with offset"),
    ("2026-10-14T18:00-05:00,nan,5,2,0,0\n", "-60 to 60 degC"),
    ("2026-10-14T18:00-05:00,50 F,5,2,0,0\n", "-60 to 60 degC"),
    ("2026-10-14T18:00-05:00,10,5,-2,0,0\n", "0 to 75 m/s"),
    ("2026-10-14T18:00-05:00,10,5,2,0\n", "one cell a column"),
]


@pytest.mark.parametrize(("rows", "allows"), WEATHER)
def test_a_weather_file_that_cannot_be_names_file_line_and_column(
    tmp_path: Path, rows: str, allows: str
) -> None:
    csv = tmp_path / "sky.csv"
    csv.write_text(ROWS + rows, encoding="utf-8")
    line = refused(tmp_path, GOOD, "--weather", str(csv))
    assert line.startswith("sky.csv:")
    assert allows in line


def test_a_weather_file_that_is_not_there_is_refused_by_name(tmp_path: Path) -> None:
    spoiled = GOOD.partition("[weather]")[0] + '[weather]\nfile = "lost.csv"\n'
    assert refused(tmp_path, spoiled).startswith("lost.csv: file = ")


@pytest.mark.parametrize("text", ["tomorrow", "2026-10-15T08:00", "2026-10-15"])
def test_a_present_instant_without_offset_is_refused(tmp_path: Path, text: str) -> None:
    file = tmp_path / "larch.toml"
    file.write_text(GOOD, encoding="utf-8")
    code, _, err = castclock("timeline", str(file), "--now", text)
    assert code == 2
    assert "--now" in err
    assert "ISO 8601 with offset" in err


def test_the_installed_command_ends_with_two_and_one_line(tmp_path: Path) -> None:
    file = tmp_path / "larch.toml"
    file.write_text(GOOD.replace("width_mm = 800", "width_mm = nan"), encoding="utf-8")
    command = Path(sys.executable).with_name("castclock")
    ended = subprocess.run(
        [command, "timeline", file], capture_output=True, text=True, timeout=120, check=False
    )
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert ended.stderr == (
        "larch.toml: piece.width_mm = nan: not a finite number; "
        "give 38 mm, 1 1/2 in, 5' 6\" or 0,5 m.\n"
    )
