"""A38: a glass-fibre mix with polymer keeps its own water; a night under film stands for the cure.

Source     CONCRETE_NETWORK_GFRC (concretenetwork.com, mix of glass-fibre concrete), TYPICAL_SHEET.
Page says  5 % of acrylic solids by mass of cement give what seven days of moist cure give; in use
           within 3 days. Sheets of polymers: film for 12 to 16 h at 60 degF or more.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import Mixture
from models.errors import InputError
from models.piece.shape import Shape
from models.planning import timeline
from models.results import StepWindow
from models.simulation.scenario import Scenario

HOUR = timedelta(hours=1)
THIN = Shape("panel", 1200.0, 600.0, 20.0)


def cured(
    panel: Callable[..., Scenario], air: AirSeries, at: datetime, polymer_pct: float | None
) -> StepWindow:
    pour = panel(mixture=Mixture("glass-fibre", polymer_pct=polymer_pct), shape=THIN)
    answer = timeline.project(pour, air, at + HOUR)
    return next(one for one in answer.steps if one.step == "end-wet-cure")


def warmer(air: AirSeries, by_K: float) -> AirSeries:
    return replace(air, air_C=air.air_C + by_K, dew_point_C=air.dew_point_C + by_K)


def test_in_a_warm_shop_polymer_ends_the_damp_cure_after_a_night(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    room = warmer(cool, 14.0)  # 18 to 28 C
    plain, modified = (cured(panel, room, poured_at, pct) for pct in (None, 5.0))
    assert plain.safe is not None
    assert modified.safe is not None
    assert plain.safe - poured_at > 2 * (modified.safe - poured_at)
    assert timedelta(hours=16) <= modified.safe - poured_at <= timedelta(hours=20)


def test_under_four_per_cent_it_is_cured_damp_as_any_other(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    room = warmer(cool, 14.0)
    assert cured(panel, room, poured_at, 3.0).safe == cured(panel, room, poured_at, None).safe


def test_where_it_is_too_cold_for_a_film_polymer_shortens_nothing(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    cold = warmer(cool, -3.0)  # 1 to 11 C: never 15.6
    assert cured(panel, cold, poured_at, 6.0).safe == cured(panel, cold, poured_at, None).safe


def test_its_coats_wait_for_seven_days_where_no_sheet_tells_their_age() -> None:
    typical = SealerSystem("silane-siloxane")
    assert typical.resolved().min_age_d == 28.0
    assert typical.resolved(keeps_its_water=True).min_age_d == 7.0
    told = SealerSystem("silane-siloxane", min_age_d=21.0)
    assert told.resolved(keeps_its_water=True).min_age_d == 21.0


def test_polymer_is_asked_of_glass_fibre_mixes_alone() -> None:
    assert not Mixture("glass-fibre", polymer_pct=3.9).keeps_its_water
    assert Mixture("glass-fibre", polymer_pct=4.0).keeps_its_water
    for wrong in (("flowing", 5.0), ("glass-fibre", 26.0)):
        with pytest.raises(InputError) as refused:
            Mixture(wrong[0], polymer_pct=wrong[1])
        assert refused.value.field == "polymer_pct"
