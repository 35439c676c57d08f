"""`castclock new`: a file that answers as it stands, and is never written over another."""

from pathlib import Path

import pytest

from service import scenario_file
from tests.support.command import castclock


def test_a_new_file_answers_as_it_stands(tmp_path: Path) -> None:
    file = tmp_path / "porch-step.toml"
    made = castclock("new", file)
    assert (made.code, made.err) == (0, "")
    asked = castclock("timeline", file)
    assert (asked.code, asked.err) == (0, "")
    assert "porch-step" in asked.out


@pytest.mark.parametrize("shape", ["panel", "box", "block"])
def test_every_shape_can_be_read(tmp_path: Path, shape: str) -> None:
    file = tmp_path / "one.toml"
    assert castclock("new", file, "--shape", shape, "--length", "3' 6\"").code == 0
    read = scenario_file.read(file).scenario
    assert read.shape.kind == shape
    assert read.shape.length_mm == pytest.approx(1066.8)


def test_a_file_that_is_there_stays_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "one.toml"
    file.write_text("mine", encoding="utf-8")
    refused = castclock("new", file)
    assert refused.code == 2
    assert "there already" in refused.err
    assert file.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("given", "field"),
    [
        (("--shape", "ball"), "--shape = 'ball'"),
        (("--length", "long"), "piece.length_mm"),
        (("--wall", "40"), "--wall = '40': a panel has none"),
    ],
)
def test_what_cannot_be_is_refused_and_leaves_no_file(
    tmp_path: Path, given: tuple[str, str], field: str
) -> None:
    file = tmp_path / "one.toml"
    refused = castclock("new", file, *given)
    assert refused.code == 2
    assert field in refused.err
    assert not file.exists()
