"""`[[batch]]` of a scenario file tells what the phone tells, a face coat and its mix too."""

from datetime import datetime
from pathlib import Path

import pytest

from models.errors import InputError
from service import scenario_file

TEXT = """
[place]
kind = "covered"
latitude = 44
longitude = -92
timezone = "America/Chicago"
[mix]
class = "glass-fibre"
bag_kg = "50 lb"
water_cement = 0.34
[piece]
shape = "panel"
length_mm = 1000
width_mm = 500
thickness_mm = 25
[pour]
at = 2026-05-14T09:00:00-05:00
[[batch]]
at = 2026-05-14T09:00:00-05:00
bags = 0.5
layer = "face"
thickness_mm = "1/8 in"
concrete_C = "68 F"
[batch.mix]
class = "glass-fibre"
initial_set_h = 3
[[batch]]
at = 2026-05-14T09:20:00-05:00
bags = 1
water_l = "4 l"
concrete_C = 24
"""


def read(folder: Path, text: str) -> scenario_file.ScenarioFile:
    file = folder / "batches.toml"
    file.write_text(text, encoding="utf-8")
    return scenario_file.read(file)


def test_batches_set_the_clock_the_warmth_and_the_water(tmp_path: Path) -> None:
    scenario = read(tmp_path, TEXT).scenario
    face, backing = scenario.batched.batches
    assert face.thickness_mm == pytest.approx(3.175)
    assert face.mixture is not None
    assert face.mixture.initial_set_h == 3
    assert backing.at == scenario.placement.at == datetime.fromisoformat("2026-05-14T09:20-05:00")
    assert scenario.batched.older_h == pytest.approx(1 / 3)
    assert 20.0 < (scenario.placement.concrete_C or 0.0) < 24.0
    assert scenario.mixture.water_cement != 0.34


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("concrete_C = 24", "concrete_C = 80", "batch[1].concrete_C"),
        ('layer = "face"', 'layer = "middle"', "batch[0].layer"),
        ('thickness_mm = "1/8 in"', 'thickness_mm = "2 in"', "thickness_mm"),
        ("bags = 1\n", "bags = 0\n", "batch[1].bags"),
        ("bags = 1\n", "bogs = 1\n", "bogs"),
        ('class = "glass-fibre"\ninitial', 'class = "glass"\ninitial', "batch[0].mix.class"),
        ("at = 2026-05-14T09:20:00-05:00\n", "", "batch[1].at"),
        ('water_l = "4 l"', 'water_l = "24 l"', "batch[1].water_l"),
        (
            "initial_set_h = 3",
            "bag_kg = 25\n[[batch]]\nat = 2026-05-14T09:10:00-05:00\nbags = 1\n"
            'water_l = 14\n[batch.mix]\nclass = "general-purpose"\nbag_kg = 25',
            "batch[1].water_l",
        ),
    ],
)
def test_a_batch_that_cannot_be_is_refused_by_its_key(
    tmp_path: Path, old: str, new: str, field: str
) -> None:
    assert old in TEXT
    with pytest.raises(InputError) as refused:
        read(tmp_path, TEXT.replace(old, new, 1))
    assert field in str(refused.value)
