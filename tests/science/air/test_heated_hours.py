"""A room that is heated only by day, and what heats it."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

import numpy as np
import pytest

from models.air import members, place
from models.air.series import AirSeries
from models.concrete.section import Covering
from models.errors import InputError
from models.units import Array

START = datetime(2025, 1, 10, 6, tzinfo=UTC)  # midnight in Chicago
DAYS = 6


@pytest.fixture(scope="module")
def frost() -> members.AirMembers:
    same = np.ones(24 * DAYS)
    record = AirSeries(
        START,
        -8 * same,
        -12 * same,
        3 * same,
        0.5 * same,
        0 * same,
        np.nan * same,
        START,
        "made up",
    )
    return members.draw(record, 64, 1)


def room(
    frost: members.AirMembers,
    heated_hours: tuple[time, time] | None = None,
    lag_h: float | None = None,
) -> place.AtPiece:
    site = place.Site("heated room", 44.0, -92.0, "America/Chicago", setpoint_C=18.0)
    return place.at_piece(replace(site, heated_hours=heated_hours, lag_h=lag_h), frost, 2)


def by_hour(here: place.AtPiece) -> Array:
    """Middle member of each hour of the last day, by the wall clock of the room."""
    middle: Array = np.median(here.air_C, axis=1)[-24:]
    return middle


def test_a_room_heated_by_day_is_warm_by_day_and_falls_at_night(frost: members.AirMembers) -> None:
    clock = by_hour(room(frost, heated_hours=(time(7), time(18)), lag_h=8.0))
    assert clock[12:18].min() > 16.0
    assert clock[6] < 4.0  # 12 h of e-folding 8 h from 18 towards -6.5 leave about -1
    assert clock[6] == clock[:12].min() or clock[7] == clock[:12].min()


def test_hours_over_midnight_heat_the_night(frost: members.AirMembers) -> None:
    clock = by_hour(room(frost, heated_hours=(time(20), time(6)), lag_h=8.0))
    assert clock[0:6].min() > 16.0
    assert clock[19] < 4.0


def test_heating_fewer_hours_is_never_warmer(frost: members.AirMembers) -> None:
    whole, day, morning = (
        room(frost, heated_hours=hours).air_C
        for hours in (None, (time(6), time(18)), (time(6), time(10)))
    )
    assert (day <= whole + 1e-9).all()
    assert (morning <= day + 1e-9).all()


def test_heated_hours_follow_the_clock_of_the_place_over_the_change_of_clocks() -> None:
    begin = datetime(2025, 11, 1, 5, tzinfo=UTC)  # midnight; clocks go back on the 2nd
    same = np.ones(24 * 4)
    record = AirSeries(
        begin, -8 * same, -12 * same, 3 * same, 0.5 * same, 0 * same, np.nan * same, begin, "made"
    )
    here = room(members.draw(record, 32, 1), heated_hours=(time(7), time(18)), lag_h=8.0)
    middle = np.median(here.air_C, axis=1)
    for day, offset in ((1, 5), (2, 6), (3, 6), (4, 6)):
        opens = datetime(2025, 11, day, 7 + offset, tzinfo=UTC)
        row = round((opens - begin) / timedelta(hours=1))
        assert middle[row + 1] > middle[row] + 3.0
        assert abs(middle[row] - middle[row - 1]) < 1.0


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"kind": "unheated room", "heated_hours": (time(7), time(18))}, "heated_hours"),
        ({"kind": "open yard", "heater": "electric"}, "heater"),
        ({"kind": "heated room", "setpoint_C": 18.0, "heater": "stove"}, "heater"),
        (
            {"kind": "heated room", "setpoint_C": 18.0, "heated_hours": (time(7), time(7))},
            "heated_hours",
        ),
    ],
)
def test_heating_that_cannot_be_is_refused(
    more: dict[str, str | float | tuple[time, time]], field: str
) -> None:
    told: dict[str, Any] = dict(more)
    with pytest.raises(InputError) as refused:
        place.Site(**told)
    assert refused.value.field == field
    assert refused.value.allowed


def test_only_what_is_kept_warm_has_a_heater() -> None:
    tent = Covering(0.0, 48.0, "heated enclosure", setpoint_C=15.0, heater="vented")
    assert tent.heats
    assert Covering(0.0, None, "heated enclosure", setpoint_C=15.0).heater is None
    for kind, heater in (("blanket", "electric"), ("heated enclosure", "campfire")):
        setpoint = 15.0 if kind == "heated enclosure" else None
        with pytest.raises(InputError) as refused:
            Covering(0.0, None, kind, setpoint_C=setpoint, heater=heater)
        assert refused.value.field == "heater"
