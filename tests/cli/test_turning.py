"""A scenario file tells what turns the piece and that it travels, in the words of the API."""

from pathlib import Path

import pytest

from models.errors import InputError
from service import scenario_file

POUR = """
[place]
kind = "covered"
timezone = "UTC"
[mix]
class = "general-purpose"
[piece]
shape = "panel"
length_mm = 1800
width_mm = 900
thickness_mm = 50
[pour]
at = "2026-05-04T15:00:00Z"
{pour}
[shop]
{shop}
"""


def read(folder: Path, pour: str = "", shop: str = "") -> scenario_file.ScenarioFile:
    file = folder / "top.toml"
    file.write_text(POUR.format(pour=pour, shop=shop), encoding="utf-8")
    return scenario_file.read(file)


def test_gear_lifters_and_delivery_are_told(tmp_path: Path) -> None:
    scenario = read(tmp_path, "delivered = true", 'gear = ["boards", "rail"]\nlifters = 3').scenario
    assert scenario.rules.gear == ("boards", "rail")
    assert scenario.rules.lifters == 3
    assert scenario.placement.delivered
    assert not read(tmp_path).scenario.placement.delivered


@pytest.mark.parametrize(
    ("shop", "key"), [('gear = ["crane"]', "gear"), ("lifters = 0", "lifters")]
)
def test_what_is_none_is_refused_with_its_key(tmp_path: Path, shop: str, key: str) -> None:
    with pytest.raises(InputError) as refused:
        read(tmp_path, shop=shop)
    assert refused.value.field == f"shop.{key}"
