"""What a few readings tell of a garage, on the weather of Newark 2013; truth made by its own law.

Source     own measurement 2026 with the same grid: a room of known lag and 1.5 K over outdoors, N
           readings at random hours of three days with 0.5 K of noise, then six days of prediction.
           Each true lag has the root mean square error of a prediction printed below.
Tolerance  half as much again: other starts, and a fit that trusts a reading less (1.0 for 0.7 K).
"""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air import place
from models.air.calibrated_place import CalibratedPlace, MinMax, fit_room, prior
from models.errors import InputError, Unknown
from models.facts import rooms
from models.units import Array

HOUR = timedelta(hours=1)
SPUN, READ, AHEAD = 72, 72, 144
OPEN_MINDED = CalibratedPlace(8.0, 0.8, 0.0, 2.0)
OFFSET_K, NOISE_K, RUNS = 1.5, 0.5, 200


@pytest.fixture(scope="module")
def outdoor(record_2013: ModuleType) -> Array:
    """A year of Newark, hourly."""
    begin, end = datetime(2013, 1, 1, 12, tzinfo=UTC), datetime(2013, 12, 30, tzinfo=UTC)
    air: Array = record_2013.series_2013("EWR", begin, end).bridged()[0].air_C
    return air


def room_of(outdoor: Array, lag_h: float, offset_K: float) -> Array:
    room: Array = place.room_temperature(outdoor[:, None], np.array([lag_h]), np.array([offset_K]))[
        :, 0
    ]
    return room


def calibrated(
    outdoor: Array, readings: Sequence[tuple[float, float] | MinMax], before: CalibratedPlace
) -> CalibratedPlace:
    got = fit_room(outdoor, readings, before)
    assert isinstance(got, CalibratedPlace)
    return got


def missed_K(outdoor: Array, lag_h: float, count: int, seed: int) -> float:
    """How far the learned room is off the true one over the next six days, mean of the runs."""
    random = np.random.default_rng(seed)
    misses: list[float] = []
    while len(misses) < RUNS:
        begin = int(random.integers(0, len(outdoor) - SPUN - READ - AHEAD - 240))
        # the true room is older than the record that the fit is given
        lived = outdoor[begin : begin + 240 + SPUN + READ + AHEAD]
        if np.isnan(lived).any():
            continue
        true = room_of(lived, lag_h, OFFSET_K)[240:]
        seen = lived[240:]
        hours = SPUN + random.choice(READ, count, replace=False)
        values = true[hours] + NOISE_K * random.standard_normal(count)
        pairs = list(zip(hours.astype(float), values, strict=True))
        got = calibrated(seen[: SPUN + READ], pairs, OPEN_MINDED)
        assert got.lag_h is not None
        told = room_of(seen, got.lag_h, got.offset_K)
        misses.append(float(np.sqrt(np.mean((told - true)[-AHEAD:] ** 2))))
    return float(np.mean(misses))


@pytest.mark.parametrize(
    ("lag_h", "count", "printed_K"),
    [
        (3, 3, 0.69),
        (3, 5, 0.44),
        (3, 8, 0.27),
        (8, 3, 0.39),
        (8, 5, 0.29),
        (8, 8, 0.27),
        (20, 3, 0.83),
        (20, 5, 0.52),
        (20, 8, 0.36),
    ],
)
def test_a_few_readings_foretell_the_garage(
    outdoor: Array, lag_h: float, count: int, printed_K: float
) -> None:
    assert missed_K(outdoor, lag_h, count, 7) <= 1.5 * printed_K


@pytest.mark.parametrize("kind", ["open yard", "covered", "unheated room"])
@pytest.mark.parametrize("readings", [[], [(80.0, 9.0)], [(3.0, 9.0), (5.0, 9.0), (7.0, 9.0)]])
def test_under_two_readings_that_count_it_says_how_many_more(
    outdoor: Array, kind: str, readings: list[tuple[float, float]]
) -> None:
    """One is none, and a room that has not lived through a day of the record says nothing."""
    got = fit_room(outdoor[:200], readings, prior(kind))
    assert isinstance(got, Unknown)
    more = 1 if readings == [(80.0, 9.0)] else 2
    assert got.how_to_get_it.values == {"readings": more}


def test_the_prior_is_what_a_place_is_taken_for_when_nothing_is_told() -> None:
    garage, yard = prior("unheated room"), prior("open yard")
    assert (garage.lag_h, garage.offset_K) == (rooms.ROOM_LAG_H, rooms.ROOM_OFFSET_K)
    assert (yard.lag_h, yard.offset_K, yard.readings) == (None, 0.0, 0)
    with pytest.raises(InputError, match="heated room"):
        prior("heated room")


def test_more_readings_make_it_surer_but_never_surer_than_one_thermometer(outdoor: Array) -> None:
    room = room_of(outdoor[:400], 6.0, 3.0)
    sds = []
    for count in (2, 4, 8, 40):
        pairs = [(float(h), float(room[h])) for h in np.linspace(80, 390, count).astype(int)]
        got = calibrated(outdoor[:400], pairs, prior("unheated room"))
        assert got.readings == count
        sds.append((got.offset_sd_K, got.lag_spread))
    assert sds == sorted(sds, reverse=True)
    assert sds[-1] == (0.5, 0.2)
    assert got.offset_K == pytest.approx(3.0, abs=0.2)
    assert got.lag_h == pytest.approx(6.0, rel=0.1)


def test_a_thermometer_left_in_the_sun_once_is_left_out(outdoor: Array) -> None:
    room = room_of(outdoor[:300], 8.0, 2.0)
    pairs = [(float(h), float(room[h])) for h in (80, 92, 110, 125, 140)]
    before = prior("unheated room")
    assert fit_room(outdoor[:300], [*pairs, (100.0, 41.0)], before) == fit_room(
        outdoor[:300], pairs, before
    )


def test_a_yard_learns_how_far_it_is_off_the_station_and_no_lag(outdoor: Array) -> None:
    pairs = [(h + 0.5, float(outdoor[h] + outdoor[h + 1]) / 2 - 1.5) for h in range(80, 120, 5)]
    got = calibrated(outdoor[:200], pairs, prior("covered"))
    assert (got.lag_h, got.lag_spread, got.readings) == (None, None, 8)
    assert -1.5 < got.offset_K < -1.0


def max_min(room: Array, hour: int, span_h: float = 12.0) -> MinMax:
    """What a max-min thermometer in that room shows when it is read; it marks between the hours."""
    fine = np.linspace(hour - span_h, hour, 1 + int(20 * span_h))
    seen = np.interp(fine, np.arange(len(room)), room)
    return MinMax(float(hour), float(seen.min()), float(seen.max()), span_h)


@pytest.mark.parametrize("lag_h", [3.0, 8.0, 20.0])
@pytest.mark.parametrize("offset_K", [-1.5, 3.0])
def test_max_min_thermometers_of_two_weeks_find_the_room(
    outdoor: Array, lag_h: float, offset_K: float
) -> None:
    """Nobody knows at which hour it was coldest; it comes out with the lag."""
    room = room_of(outdoor[:500], lag_h, offset_K)[72:]
    readings = [max_min(room, hour, 24.0) for hour in range(100, 420, 24)]
    got = calibrated(outdoor[72:500], readings, OPEN_MINDED)
    assert got.readings == len(readings)
    assert got.offset_K == pytest.approx(offset_K, abs=0.4)
    assert got.lag_h == pytest.approx(lag_h, rel=0.2)


def test_four_nights_of_a_max_min_thermometer_with_its_own_error_tell_more_than_none(
    outdoor: Array,
) -> None:
    random = np.random.default_rng(11)
    better = 0
    for _ in range(40):
        begin = int(random.integers(0, 7000))
        lived = outdoor[begin : begin + 500]
        if np.isnan(lived).any():
            better += 1
            continue
        room = room_of(lived, 5.0, 3.5)
        readings = [
            MinMax(one.hour, one.low_C + 0.5 * float(e[0]), one.high_C + 0.5 * float(e[1]), 12.0)
            for one, e in (
                (max_min(room, h), random.standard_normal(2)) for h in (270, 294, 318, 342)
            )
        ]
        got = calibrated(lived, readings, prior("unheated room"))
        assert got.lag_h is not None
        told = room_of(lived, got.lag_h, got.offset_K)[350:]
        believed = room_of(lived, rooms.ROOM_LAG_H, rooms.ROOM_OFFSET_K)[350:]
        better += np.abs(told - room[350:]).mean() < 0.6 * np.abs(believed - room[350:]).mean()
    assert better >= 36


def test_air_and_max_min_readings_teach_together(outdoor: Array) -> None:
    room = room_of(outdoor[:300], 6.0, 2.5)
    both: list[tuple[float, float] | MinMax] = [(150.0, float(room[150])), max_min(room, 200)]
    got = calibrated(outdoor[:300], both, prior("unheated room"))
    assert got.readings == 2
    assert got.offset_K == pytest.approx(2.5, abs=0.7)


def test_a_max_min_thermometer_that_stood_in_the_sun_is_left_out_whole(outdoor: Array) -> None:
    room = room_of(outdoor[:300], 8.0, 2.0)
    good = [max_min(room, hour) for hour in (120, 144, 168, 192)]
    sunny = MinMax(216.0, good[0].low_C, 44.0, 12.0)
    before = prior("unheated room")
    assert fit_room(outdoor[:300], [*good, sunny], before) == fit_room(outdoor[:300], good, before)


@pytest.mark.parametrize("hour", [30.0, 400.0])
def test_a_span_outside_the_record_teaches_nothing(outdoor: Array, hour: float) -> None:
    reading = MinMax(hour, 1.0, 9.0, 12.0)
    got = fit_room(outdoor[:300], [reading, reading], prior("unheated room"))
    assert isinstance(got, Unknown)
    assert got.how_to_get_it.values == {"readings": 2}
