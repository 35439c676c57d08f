"""What a witness tile and a taped film say about when the piece may be sealed."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete import moisture_laws
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.errors import InputError
from models.piece.shape import Shape
from models.planning import default_plan, timeline
from models.quantile import quantile
from models.simulation import physics
from models.simulation.scenario import Done, Observation, Placement, Scenario
from models.steps import cure, dry
from tests.support.words import number

POURED = datetime(2026, 5, 4, 14, tzinfo=UTC)
NOW_D = 11.0
TARGET = 0.85


@pytest.fixture(scope="module")
def air() -> AirSeries:
    """Dry spring air, 15 degC and about 60 %, from three days before until five weeks after."""
    t = np.arange(72 + 35 * 24)
    warm = 15 + 4 * np.sin(2 * np.pi * (t - 3) / 24)
    same = np.ones_like(warm)
    return AirSeries(
        POURED - timedelta(hours=72),
        warm,
        7.0 * same,
        2 * same,
        0 * same,
        0.4 * same,
        np.nan * same,
        POURED + timedelta(days=10),
        "a made-up record",
    )


def after(days: float) -> datetime:
    return POURED + timedelta(days=days)


def piece(*seen: Observation, turned: bool = True) -> Scenario:
    """A top stripped on day 2 and taken out of its film on day 7."""
    words = ("strip", "turn") if turned else ("strip",)
    done = (*(Done(word, after(2)) for word in words), Done("end-wet-cure", after(7)))
    return Scenario(
        "a top",
        Site("covered", 41.5, -74.0),
        Mixture("general-purpose"),
        Shape("panel", 1500.0, 700.0, 50.0),
        Placement(POURED, 18.0),
        observations=seen,
        done=done,
        sealer=SealerSystem("water-based-acrylic"),
    )


def tile(*losses_pct: float, from_d: float = 7.0) -> tuple[Observation, ...]:
    """A tile of 2 kg weighed daily from the end of the film on, with these daily losses [%]."""
    mass = 2000.0 * (1 - np.concatenate(([0.0], np.cumsum(losses_pct))) / 100)
    return tuple(Observation(after(from_d + k), "tile", float(g)) for k, g in enumerate(mass))


def settled(scenario: Scenario, air: AirSeries, now_d: float = NOW_D) -> physics.Simulation:
    simulation = default_plan.simulated(scenario, air, after(now_d), 700, 256)
    assert isinstance(simulation, physics.Simulation)
    return simulation


def ready(simulation: physics.Simulation, now_d: float = NOW_D, share: float = 0.5) -> float:
    assert simulation.drying is not None
    return quantile(
        dry.ready_at(simulation.drying, TARGET, 24 * now_d), simulation.trajectory.weight, share
    )


def foreseen_losses(air: AirSeries) -> np.ndarray:
    """Median daily losses of the members from day 7 to 10 [%]."""
    got = settled(piece(), air)
    assert got.drying is not None
    return np.median(got.drying.loss_pct()[[192, 216, 240]], axis=1)


def test_a_tile_that_loses_less_than_foreseen_moves_the_coat_later(air: AirSeries) -> None:
    usual = foreseen_losses(air)
    slow, fast = (settled(piece(*tile(*(usual * k))), air) for k in (0.6, 1.5))
    plain = settled(piece(), air)
    assert ready(slow) > ready(plain) + 12
    assert ready(fast) < ready(plain) - 6
    for simulation in (slow, fast):
        assert 1 / np.sum(simulation.trajectory.weight**2) >= 32
        assert not any("contradicts" in note.code for note in simulation.notes)


def test_the_loss_of_the_tile_is_told_beside_constant_mass(air: AirSeries) -> None:
    told = timeline.project(piece(*tile(0.5, 0.25)), air, after(NOW_D)).steps
    because = next(s for s in told if s.step == "coat-1").because
    (lost,) = [one for one in because if one.code == "tile_lost"]
    assert number(lost, "loss_pct") == pytest.approx(0.25, abs=0.005)
    assert number(lost, "limit_pct") == 0.1


def test_a_cover_that_is_to_stay_until_an_hour_keeps_the_face_closed_until_then(
    air: AirSeries,
) -> None:
    wrapped = replace(piece(), coverings=(Covering(48.0, 240.0, "blanket", faces="all"),))
    got = settled(wrapped, air)
    assert got.drying is not None
    assert not got.drying.open_top[:240].any()
    assert got.drying.open_top[241:].all()
    assert (got.drying.dried.lost_kg_m2[240] == 0.0).all()


def test_a_tile_that_loses_as_foreseen_narrows_the_window(air: AirSeries) -> None:
    told = settled(piece(*tile(*foreseen_losses(air))), air)
    plain = settled(piece(), air)

    def width(simulation: physics.Simulation) -> float:
        return ready(simulation, share=0.9) - ready(simulation, share=0.1)

    assert width(told) < 0.9 * width(plain)


def test_a_tile_that_cannot_be_is_kept_told_and_not_used(air: AirSeries) -> None:
    told = settled(piece(*tile(9.0)), air)
    (note,) = [note for note in told.notes if note.code == "tile_contradicts"]
    assert note.values["lost_pct"] == pytest.approx(9.0)
    assert np.ptp(told.trajectory.weight) == 0.0


def test_one_weight_alone_says_nothing_yet(air: AirSeries) -> None:
    told = settled(piece(*tile()), air)
    assert np.ptp(told.trajectory.weight) == 0.0
    assert told.notes == settled(piece(), air).notes


def test_a_wet_film_says_wait_and_a_dry_one_proves_nothing(air: AirSeries) -> None:
    plain = settled(piece(), air)
    wet = settled(piece(Observation(after(10.9), "film-wet")), air)
    dry_film = settled(piece(Observation(after(10.9), "film-dry")), air)
    assert wet.drying is not None
    assert wet.drying.no_coat_before_h == pytest.approx(24 * 11.9)
    assert ready(wet) >= 24 * 11.9
    assert ready(wet, share=0.9) >= ready(plain, share=0.9)
    assert (dry_film.trajectory.weight == plain.trajectory.weight).all()
    assert ready(dry_film) == ready(plain)
    assert "film_dry_no_proof" in {note.code for note in dry_film.notes}


def test_a_wet_film_on_a_piece_taken_for_dry_holds_the_coat_all_the_same(air: AirSeries) -> None:
    told = settled(piece(Observation(after(27.5), "film-wet")), air, 28.0)
    assert ready(told, 28.0) >= 24 * 28.5
    window = next(
        s
        for s in timeline.project(
            piece(Observation(after(27.5), "film-wet")), air, after(28.0)
        ).steps
        if s.step == "coat-1"
    )
    assert window.state != "open"
    assert "film_was_wet" in [one.code for one in window.because]


def test_a_piece_left_on_its_base_is_told_how_much_it_bows(air: AirSeries) -> None:
    def bow(turned: bool) -> list[object]:
        long = replace(piece(turned=turned), shape=Shape("panel", 2400.0, 600.0, 40.0))
        told = timeline.project(long, air, after(NOW_D)).steps
        cautions = next(s for s in told if s.step == "end-wet-cure").cautions
        return [one.values["length_mm"] for one in cautions if one.code == "one_face_dries_ahead"]

    assert bow(turned=False) == [2400.0]
    assert bow(turned=True) == []


def test_bow_by_hand() -> None:
    """C20 by EN 1992-1-1, 0.3 permille from 100 to 80 %: 300e-6 x 1500^2 / 400 on 50 mm."""
    dry_below = float(moisture_laws.shrinkage(0.8, 28.0) - moisture_laws.shrinkage(1.0, 28.0))
    assert cure.bow_mm(dry_below, 50.0, 1500.0) == pytest.approx(1.69, abs=0.02)
    assert cure.bow_mm(-dry_below, 50.0, 3000.0) == pytest.approx(4 * 1.69, abs=0.08)
    about_90 = 0.2 * float(moisture_laws.shrinkage_slope(0.9, 28.0))
    assert about_90 == pytest.approx(dry_below, rel=0.01)


def test_wet_honing_wets_the_face_and_restarts_its_day(air: AirSeries) -> None:
    honed = piece()
    honed = replace(honed, done=(*honed.done, Done("hone", after(10.5))))
    got = settled(honed, air)
    assert got.drying is not None
    fit = dry.face_is_dry(got.drying, "water-based-acrylic")
    assert fit[24 * 10].all()
    assert not fit[24 * 10 + 13 : 24 * 11 + 12].any()
    assert fit[24 * 11 + 14].all()


def test_what_was_dry_and_is_wet_again_waits(air: AirSeries) -> None:
    got = settled(piece(), air)
    assert got.drying is not None
    dried = got.drying.dried
    probe = np.full_like(dried.probe_rh, 0.95)
    probe[200:300], probe[400:] = 0.8, 0.8
    again = replace(got.drying, dried=replace(dried, probe_rh=probe))
    assert (dry.ready_at(again, TARGET, 250.0) == 200.0).all()
    assert (dry.ready_at(again, TARGET, 350.0) == 400.0).all()
    probe[400:] = 0.95
    assert np.isinf(dry.ready_at(again, TARGET, 350.0)).all()


@pytest.mark.parametrize(("mass", "allowed"), [(0.0, "20 to 500000 g"), (-3.0, "20 to 500000 g")])
def test_a_tile_without_mass_is_refused(mass: float, allowed: str) -> None:
    with pytest.raises(InputError) as refused:
        Observation(after(8), "tile", mass)
    assert allowed in refused.value.allowed
