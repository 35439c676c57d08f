"""What the trade takes for granted about ordinary and rapid mixes.

Source     COMMON_PRACTICE; NFBA_2020 for the working time.
Page says  ordinary bagged mixes leave ample working time while rapid ones need it watched; some
           mixes cure in a few hours, most in days; a stripped piece stands with air around it for
           a few hours to a day before it is sanded; working time halves for each 20 F; about six
           thin coats of water-based acrylic on a table top, the first two thinned one part water
           to two of sealer, two coats on a base; it dries fast in warm dry air, so that the wait
           between coats is short.
Status     common practice.
Tolerance  in words: ample is 2 h or more, watched is under 45 min; a few hours is under 6, days 1
           to 5; a short wait is one to three hours, six coats lie within two working days.
"""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air import psychrometrics
from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete import prior, setting
from models.concrete.mixture import Mixture
from models.facts.cements import CLASSES
from models.facts.handling import AIR_BEFORE_SANDING_H
from models.piece.shape import Shape
from models.planning import coat_plan
from models.results import PlannedCoat
from models.simulation import physics
from models.simulation.scenario import Placement, Scenario
from tests.published.register import nfba_2020

ORDINARY = [kind for kind in CLASSES if kind != "rapid-setting"]


def hours_to(kind: str, megapascal: float) -> float:
    mix = prior.draw(Mixture(kind), 512, 11)
    return float(np.median(mix.age_at(megapascal)))


MONDAY_05 = datetime(2026, 5, 4, 5, tzinfo=UTC)
TOP = Shape("panel", 1400.0, 800.0, 45.0)
BASE = Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0)


def coats_in(air_C: float, rh: float, shape: Shape = TOP) -> tuple[PlannedCoat, ...]:
    """The usual coats of a dry piece in a garage with the same air for nine days; from 05:00 on."""
    same = np.ones(12 * 24)
    dew_C = float(psychrometrics.dew_point(air_C, rh))
    start = MONDAY_05 - timedelta(days=3)
    air = AirSeries(
        start,
        air_C * same,
        dew_C * same,
        1.0 * same,
        0 * same,
        same,
        0 * same,
        MONDAY_05,
        "the same air for days",
    )
    piece = Scenario(
        "a piece",
        Site("covered"),
        Mixture("high-early"),
        shape,
        Placement(MONDAY_05 - timedelta(hours=48)),
        sealer=SealerSystem("water-based-acrylic"),
    )
    simulation = physics.simulate(piece, air, MONDAY_05, 240, 32)
    assert isinstance(simulation, physics.Simulation)
    told = coat_plan.coated(
        piece,
        simulation.trajectory,
        np.zeros(32),
        np.ones(simulation.trajectory.rain_mm.shape, dtype=bool),
        48.0,
        (),
    )
    return told.plan.coats


def waits_h(coats: tuple[PlannedCoat, ...]) -> list[float]:
    at = [one.at for one in coats]
    return [
        (b - a) / timedelta(hours=1) if a is not None and b is not None else np.inf
        for a, b in zip(at, at[1:], strict=False)
    ]


def test_six_thin_coats_on_a_top_of_which_two_are_thinned_and_two_on_a_base() -> None:
    top, base = coats_in(20.0, 0.55), coats_in(20.0, 0.55, BASE)
    assert len(top) == 6
    thinned = [one.water_l / (one.water_l + one.sealer_l) for one in top]
    assert thinned == pytest.approx([1 / 3, 1 / 3, 0, 0, 0, 0])
    assert len(base) == 2
    assert base[-1].water_l == 0


@pytest.mark.parametrize(("air_C", "rh"), [(18.0, 0.50), (20.0, 0.55), (24.0, 0.50)])
def test_in_mild_air_a_coat_follows_after_one_to_three_hours_and_all_six_within_two_days(
    air_C: float, rh: float
) -> None:
    coats = coats_in(air_C, rh)
    assert all(one.at is not None for one in coats)
    first_day = [wait for wait in waits_h(coats) if wait < 8]
    assert len(first_day) >= 4
    assert all(1.0 <= wait <= 3.5 for wait in first_day)
    assert sum(waits_h(coats)) <= 36.0


def test_warm_dry_air_makes_the_waits_short() -> None:
    warm, mild = waits_h(coats_in(28.0, 0.35)), waits_h(coats_in(18.0, 0.50))
    assert max(warm) <= 1.5
    assert min(warm) < min(mild)


def test_at_ten_degrees_and_85_per_cent_it_takes_much_longer_or_cannot_be_done() -> None:
    mild, damp = coats_in(20.0, 0.55), coats_in(10.0, 0.85)
    assert sum(waits_h(damp)) > 2 * sum(waits_h(mild))
    nearly = coats_in(11.5, 0.70)  # within every limit, slower all the same
    assert sum(waits_h(nearly)) > 1.3 * sum(waits_h(mild))


def test_ordinary_mixes_leave_ample_time_and_rapid_ones_do_not() -> None:
    for kind in ORDINARY:
        assert CLASSES[kind].initial_set_h >= 2.0
    assert CLASSES["rapid-setting"].initial_set_h < 0.75


def test_some_mixes_cure_in_hours_and_most_in_days() -> None:
    assert hours_to("rapid-setting", 10.0) < 6.0
    for kind in ORDINARY:
        assert 12.0 <= hours_to(kind, 10.0) <= 120.0


def test_sanding_waits_a_few_hours_to_a_day_after_stripping() -> None:
    assert 2.0 <= AIR_BEFORE_SANDING_H <= 24.0


@pytest.mark.parametrize(("label_min", "label_F", "mix_F", "minutes"), nfba_2020.ROWS)
def test_working_time_in_heat(
    label_min: float, label_F: float, mix_F: float, minutes: float
) -> None:
    def celsius(f: float) -> float:
        return (f - 32) * 5 / 9

    got = setting.working_time_min(celsius(mix_F), label_min=label_min, label_C=celsius(label_F))
    assert float(got) == pytest.approx(minutes, rel=0.02)
