"""What a few readings tell of a garage, on the weather of Newark 2013; truth made by its own law.

Source     own measurement 2026 with the same grid: a room of known lag and 1.5 K over outdoors, N
           readings at random hours of three days with 0.5 K of noise, then six days of prediction.
           Each true lag has the root mean square error of a prediction printed below.
Tolerance  half as much again: other starts, and a fit that trusts a reading less (1.0 for 0.7 K).
"""

import importlib.util
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from models.air import place
from models.air.learned_place import LearnedPlace, fit_room, prior
from models.errors import InputError
from models.units import Array

HOUR = timedelta(hours=1)
SPUN, READ, AHEAD = 72, 72, 144
OPEN_MINDED = LearnedPlace(8.0, 0.8, 0.0, 2.0)
OFFSET_K, NOISE_K, RUNS = 1.5, 0.5, 200


def newark() -> Array:
    path = Path(__file__).parents[2] / "replays" / "record_2013.py"
    spec = importlib.util.spec_from_file_location("record_2013_of_learned", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    whole = module.series_2013(
        "EWR", datetime(2013, 1, 1, 12, tzinfo=UTC), datetime(2013, 12, 30, tzinfo=UTC)
    ).bridged()[0]
    air: Array = whole.air_C
    return air


@pytest.fixture(scope="module")
def outdoor() -> Array:
    return newark()


def room_of(outdoor: Array, lag_h: float, offset_K: float) -> Array:
    room: Array = place.room_temperature(outdoor[:, None], np.array([lag_h]), np.array([offset_K]))[
        :, 0
    ]
    return room


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
        got = fit_room(seen[: SPUN + READ], pairs, OPEN_MINDED)
        assert got.lag_h is not None
        told = room_of(seen, got.lag_h, got.offset_K)
        misses.append(float(np.sqrt(np.mean((told - true)[-AHEAD:] ** 2))))
    return float(np.mean(misses))


@pytest.mark.parametrize(
    ("lag_h", "count", "printed_K"),
    [(3, 3, 0.69), (3, 5, 0.44), (3, 8, 0.27),
     (8, 3, 0.39), (8, 5, 0.29), (8, 8, 0.27),
     (20, 3, 0.83), (20, 5, 0.52), (20, 8, 0.36)],
)  # fmt: skip
def test_a_few_readings_foretell_the_garage(
    outdoor: Array, lag_h: float, count: int, printed_K: float
) -> None:
    assert missed_K(outdoor, lag_h, count, 7) <= 1.5 * printed_K


@pytest.mark.parametrize("kind", ["open yard", "covered", "unheated room"])
@pytest.mark.parametrize("readings", [[], [(80.0, 9.0)], [(3.0, 9.0), (5.0, 9.0), (7.0, 9.0)]])
def test_without_two_readings_that_count_it_is_what_was_believed_before(
    outdoor: Array, kind: str, readings: list[tuple[float, float]]
) -> None:
    """One is none, and a room that has not lived through a day of the record says nothing."""
    assert fit_room(outdoor[:200], readings, prior(kind)) == prior(kind)


def test_the_prior_is_what_a_place_is_taken_for_when_nothing_is_told() -> None:
    garage, yard = prior("unheated room"), prior("open yard")
    assert (garage.lag_h, garage.offset_K) == (place.ROOM_LAG_H, place.ROOM_OFFSET_K)
    assert (yard.lag_h, yard.offset_K, yard.readings) == (None, 0.0, 0)
    with pytest.raises(InputError, match="heated room"):
        prior("heated room")


def test_more_readings_make_it_surer_but_never_surer_than_one_thermometer(outdoor: Array) -> None:
    room = room_of(outdoor[:400], 6.0, 3.0)
    sds = []
    for count in (2, 4, 8, 40):
        pairs = [(float(h), float(room[h])) for h in np.linspace(80, 390, count).astype(int)]
        got = fit_room(outdoor[:400], pairs, prior("unheated room"))
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
    got = fit_room(outdoor[:200], pairs, prior("covered"))
    assert (got.lag_h, got.lag_spread, got.readings) == (None, None, 8)
    assert -1.5 < got.offset_K < -1.0
