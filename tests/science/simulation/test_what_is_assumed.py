"""What nobody told is filled once, and named by the key that would tell it."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from models.air.place import Site
from models.coating.film import UNASSUMED, SealerSystem
from models.concrete.composition import Composition
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.facts.forecast import SITE_SD_K
from models.simulation.scenario import Scenario, ShopRules

GARAGE = Site("unheated room", lag_h=9.0, offset_K=0.0)
MIX = Mixture(
    "general-purpose",
    (LabelStrength(672.0, 34.0),),
    cement_kg_m3=350.0,
    water_cement=0.5,
    activation_energy_kJ_mol=40.0,
    datum_C=0.0,
    initial_set_h=4.0,
    final_set_h=6.0,
    heat_kJ_kg=330.0,
    hydration_tau_h=13.0,
    hydration_beta=0.9,
    working_time_h=1.0,
)
SEALER = SealerSystem(
    coats=2,
    diluted_coats=0,
    recoat_min_h=4.0,
    recoat_max_h=48.0,
    min_C=10.0,
    max_C=32.0,
    max_rh_pct=85.0,
    min_age_d=28.0,
    dew_margin_K=3.0,
    hold_h=4.0,
    rain_free_h=24.0,
    coverage_m2_l=8.0,
    light_use_h=24.0,
    full_use_h=168.0,
)
OWNED = (Covering(0.0, None, "film"),)


@pytest.fixture
def told(panel: Callable[..., Scenario]) -> Scenario:
    return panel(site=GARAGE, mixture=MIX, sealer=SEALER, rules=ShopRules(owned=OWNED))


def test_all_is_assumed_where_nothing_is_told(panel: Callable[..., Scenario]) -> None:
    untold = panel("unheated room").resolved()
    by_noun: dict[str, set[str]] = {}
    for key in untold.assumed:
        noun, name = key.split(".")
        by_noun.setdefault(noun, set()).add(name)
    assert by_noun["place"] == {"lag_h", "offset_K"}
    assert by_noun["mix"] == {
        *("strength", "cement_kg_m3", "water_cement", "initial_set_h", "final_set_h"),
        *("working_time_h", "datum_C", "heat_kJ_kg", "hydration_tau_h", "hydration_beta"),
        "activation_energy_kJ_mol",
    }
    assert by_noun["sealer"] == set(vars(SEALER)) - {"chemistry", *UNASSUMED}
    assert by_noun["shop"] == {"protection"}
    assert len(untold.assumed) == sum(len(names) for names in by_noun.values())


def test_nothing_is_assumed_where_all_is_told_even_a_zero(told: Scenario) -> None:
    assert told.resolved().assumed == ()
    assert (told.resolved().site.lag_h, told.resolved().site.offset_K) == (9.0, 0.0)
    assert told.resolved().covers == OWNED


def test_one_thing_left_out_is_named_alone(told: Scenario) -> None:
    assert replace(told, site=replace(GARAGE, lag_h=None)).resolved().assumed == ("place.lag_h",)
    no_label = replace(told, mixture=replace(MIX, label=()))
    assert no_label.resolved().assumed == ("mix.strength",)
    assert replace(told, rules=ShopRules()).resolved().assumed == ("shop.protection",)


@pytest.mark.parametrize(
    ("ferrite_pct", "left"), [(10.0, ()), (0.5, ("activation_energy_kJ_mol",))]
)
def test_a_composition_tells_the_heat_and_the_energy_where_it_has_ferrite(
    ferrite_pct: float, left: tuple[str, ...]
) -> None:
    mix = replace(
        MIX,
        heat_kJ_kg=None,
        hydration_tau_h=None,
        hydration_beta=None,
        activation_energy_kJ_mol=None,
        cement=Composition(C4AF_pct=ferrite_pct),
    )
    assert mix.resolved().assumed == left


@pytest.mark.parametrize(
    ("site", "spreads"),
    [
        (Site("unheated room"), (0.6, 2.0)),
        (GARAGE, (0.2, 0.7)),
        (replace(GARAGE, lag_spread=0.1, offset_sd_K=0.3), (0.1, 0.3)),
        (Site("covered"), (0.0, SITE_SD_K)),
    ],
)
def test_a_room_is_as_sure_as_it_was_told(site: Site, spreads: tuple[float, float]) -> None:
    assert (site.resolved().lag_spread, site.resolved().offset_sd_K) == spreads


def test_outdoors_only_what_was_learned_moves_the_air() -> None:
    yard = Site("open yard", offset_K=1.0)
    assert yard.resolved().offset_K == 0.0
    assert replace(yard, offset_sd_K=0.4).resolved().offset_K == 1.0
    assert yard.resolved().assumed == ()
