"""`castclock fit`: own strength tests from a CSV; curve, residuals, [mix], JSON, picture."""

import json
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest

from models.errors import InputError
from service.cli import fit_file
from tests.support.command import castclock
from tests.support.words import said, tells

ROWS = {
    "8 C": "1,5.37 2,11.55 4,19.58 8,27.99 16,34.99 32,39.81 56,42.26",
    "73.4 F": "0.5,6.40 1,12.82 2,20.66 4,28.30 8,34.27 16,38.18 28,40.12",
    "40": "0.25,7.16 0.5,13.64 1,20.97 2,27.57 4,32.41 8,35.43 16,37.14",
}
HEADER = "temperature_C,age_h,MPa"


def rows(*temperatures: str) -> str:
    lines = [HEADER]
    for T in temperatures:
        for pair in ROWS[T].split():
            age, MPa = pair.split(",")
            lines.append(f"{T},{age} d,{MPa}")
    return "\n".join(lines) + "\n"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "breaks.csv"
    path.write_text(rows(*ROWS), encoding="utf-8")
    return path


def test_fit_prints_energy_curve_residuals_and_the_mix(file: Path) -> None:
    code, out, err = castclock("fit", file)
    assert (code, err) == (0, "")
    assert tells(out, "fit_energy", energy_kJ_mol="41.6 kJ/mol", datum_C="3.9 °C")
    assert out.count(said("fit_not_in_curve")) == 14
    mix = tomllib.loads(out.partition(said("fit_for_a_file"))[2])["mix"]
    assert mix["activation_energy_kJ_mol"] == pytest.approx(41.6)
    assert [point["age_h"] for point in mix["strength"]] == [24, 72, 168, 672]
    assert max(len(line) for line in out.splitlines()) <= 100


def test_fit_as_json_is_json_and_says_the_same(file: Path) -> None:
    code, out, _ = castclock("fit", file, "--json")
    told = json.loads(out)
    assert code == 0
    assert told["energy"]["quotient_K"] == pytest.approx(5001, abs=10)
    assert len(told["results"]) == 21
    for row in told["results"]:
        assert row["in_curve"] == (abs(row["temperature_C"] - 23.0) < 0.1)
    residuals = [row["residual_MPa"] for row in told["results"] if row["in_curve"]]
    rmse = (sum(r * r for r in residuals) / len(residuals)) ** 0.5
    assert told["curve"]["rmse_MPa"] == pytest.approx(rmse, abs=0.002)
    assert tomllib.loads(told["mix_toml"])["mix"]["class"] == "general-purpose"


def test_one_temperature_prints_what_else_to_test(file: Path) -> None:
    file.write_text(rows("73.4 F"), encoding="utf-8")
    code, out, _ = castclock("fit", file, "--class", "blended")
    assert code == 0
    assert tells(out, "test_temperatures", count="2", temperatures_C="8 °C and 40 °C")
    assert 'class = "blended"' in out
    assert tells(out, "fit_no_energy", class_kJ_mol="34 kJ/mol")


def test_too_few_ages_exit_2_with_how_many_more(file: Path) -> None:
    file.write_text("\n".join(rows("73.4 F").splitlines()[:3]), encoding="utf-8")
    code, out, err = castclock("fit", file)
    assert (code, out) == (2, "")
    assert err.startswith("breaks.csv: age_h = ")
    assert "give 2 more ages, as " in err
    assert len(err.splitlines()) == 1


def test_plot_shows_every_result_with_its_residual(file: Path, tmp_path: Path) -> None:
    picture = tmp_path / "breaks.svg"
    code, _, _ = castclock("fit", file, "--plot", picture)
    assert code == 0
    svg = ElementTree.parse(picture).getroot()
    name = "{http://www.w3.org/2000/svg}"
    kinds = [part.get("class") for part in svg.iter(f"{name}path")]
    assert kinds.count("aside") == 2 * 14  # beside the curve: strength and residual
    assert kinds.count("mark") == 2 * 7 + 3 + 3  # in the curve; the key; the rates
    assert kinds.count("stem") == 21
    assert kinds.count("line") == 2  # the curve, and ln k on 1/T
    assert svg.find(f"{name}title") is not None
    described = svg.find(f"{name}desc")
    assert described is not None
    assert tells(str(described.text), "fit_point", age_d="28 d")
    texts = {text.text for text in svg.iter(f"{name}text")}
    cures = {said("cure_at", temperature_C=T) for T in (8.0, 23.0, 40.0)}
    assert cures | {"28 d"} <= texts


def test_plot_of_one_temperature_has_no_rates(file: Path, tmp_path: Path) -> None:
    file.write_text(rows("73.4 F"), encoding="utf-8")
    castclock("fit", file, "--plot", tmp_path / "one.svg")
    text = (tmp_path / "one.svg").read_text(encoding="utf-8")
    assert not tells(text, "fit_axis_rate")
    assert "prefers-color-scheme:dark" in text


def test_plot_does_not_write_over_the_tests(file: Path) -> None:
    before = file.read_text(encoding="utf-8")
    code, _, err = castclock("fit", file, "--plot", file)
    assert code == 2
    assert "not the name of an SVG file" in err
    assert file.read_text(encoding="utf-8") == before


CASES = [
    ("8 C,1 d,5.37", "8 C,1 d,5.37 C", ":2: MPa = '5.37 C': 'c' is no unit of this quantity"),
    ("8 C,1 d,5.37", "8 C,1 d,537", ":2: MPa = 537.0: outside the allowed range; give 0.2 to 200"),
    ("8 C,1 d,5.37", "8 C,one day,5.37", ":2: age_h = 'one day': not a quantity"),
    ("8 C,1 d,5.37", "8 C,0,5.37", ":2: age_h = 0.0: outside the allowed range; give 0.25 to"),
    ("8 C,1 d,5.37", "80,1 d,5.37", ":2: temperature_C = 80.0: outside the allowed range"),
    ("8 C,1 d,5.37", "8 C,1 d", ":2: row = '8 C,1 d': 2 cells where the header has 3"),
    ("8 C,1 d,5.37", "8 C,1 d,", ":2: MPa = '': not a quantity"),
    ("8 C,1 d,5.37", '8 C,1 d,"5.37', "cannot be read as CSV"),
    (HEADER, "temperature_C,age_h,psi", ":1: header = 'temperature_C,age_h,psi': not these three"),
    (HEADER, "MPa,MPa,age_h", ":1: header = 'MPa,MPa,age_h': not these three columns"),
]


@pytest.mark.parametrize(("was", "typed", "told"), CASES)
def test_a_cell_that_cannot_be_used_is_told_with_its_line(
    file: Path, was: str, typed: str, told: str
) -> None:
    file.write_text(rows(*ROWS).replace(was, typed, 1), encoding="utf-8")
    code, out, err = castclock("fit", file)
    assert (code, out) == (2, "")
    assert told in err
    assert err.startswith("breaks.csv")
    assert len(err.splitlines()) == 1


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    code, _, err = castclock("fit", tmp_path / "none.csv")
    assert code == 2
    assert "No such file" in err


@pytest.mark.parametrize("content", [b"", b"\n\n", b"\xff\xfe1", HEADER.encode()])
def test_a_file_without_results_is_told(file: Path, content: bytes) -> None:
    file.write_bytes(content)
    code, out, err = castclock("fit", file)
    assert (code, out) == (2, "")
    assert err.startswith("breaks.csv: ")


def test_an_unknown_class_is_told(file: Path) -> None:
    code, _, err = castclock("fit", file, "--class", "ordinary")
    assert code == 2
    assert "class = 'ordinary': not a known word; give one of general-purpose" in err


def test_semicolons_with_decimal_commas_and_other_units_say_the_same(file: Path) -> None:
    plain = fit_file.read(file)
    text = rows(*ROWS).replace(",", ";").replace(".", ",")
    file.write_text("\ufeff" + text.replace("6,40", "928,24 psi"), encoding="utf-8")
    other = fit_file.read(file)
    assert [r.age_h for r in other] == [r.age_h for r in plain]
    assert [r.MPa for r in other] == pytest.approx([r.MPa for r in plain], abs=0.001)
    assert [r.temperature_C for r in other] == pytest.approx([r.temperature_C for r in plain])


def test_more_rows_than_a_mix_is_tested_are_refused(file: Path) -> None:
    file.write_text(HEADER + "\n20,24,10" * (fit_file.MOST_ROWS + 1), encoding="utf-8")
    with pytest.raises(InputError, match="more than 1000 results"):
        fit_file.read(file)
