"""Why a face dusts: each printed cause speaks where a pour has it, and where it has not, none.

Source     CONCRETE_SOCIETY_679; CONCRETE_DRYING_SHRINKAGE for the curl.
Page says  a face dusts by bleed water that is trowelled in, by damp and cold air in which it sets
           slowly, by wind that dries it fast, and young concrete must be kept from its
           surroundings; a slab curls up where its top dries and its bottom does not.
Status     page for which cause goes with which fault; weights are our own judgement.
Tolerance  in words: a printed cause is named among those that speak, likelier by 1.5 at least;
           without it, it is not.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.planning.causes import ranked
from models.planning.traces import traces
from models.simulation.scenario import Done, Placement, Scenario

AT = datetime(2026, 5, 4, 8, tzinfo=UTC)
HOUR = timedelta(hours=1)


def air(degrees: float, under_K: float, wind_m_s: float) -> AirSeries:
    same = np.ones(24 * 20)
    return AirSeries(
        AT - 72 * HOUR,
        degrees * same,
        (degrees - under_K) * same,
        wind_m_s * same,
        0 * same,
        same,
        np.nan * same,
        AT,
        "a made-up record",
    )


MILD = air(20.0, 4.0, 0.2)
PLAIN = Scenario(
    "a slab",
    Site("open yard", 40.0, -75.0),
    Mixture("general-purpose"),
    Shape("panel", 1500.0, 600.0, 40.0),
    Placement(AT, 22.0),
    sealer=SealerSystem("water-based-acrylic"),
)


def speak(pour: Scenario, weather: AirSeries, fault: str, after_h: float) -> list[str]:
    seen_at = AT + after_h * HOUR
    causes = ranked(fault, traces(pour, weather, seen_at, seen_at))
    return [one.cause for one in causes.speaks_for]


def finished(hours: float) -> Scenario:
    return replace(PLAIN, done=(Done("finish", AT + hours * HOUR),))


@pytest.mark.parametrize(
    ("cause", "pour", "weather"),
    [
        ("worked-early", finished(0.75), MILD),
        ("first-night", finished(3.5), air(3.0, 1.0, 1.0)),
        ("cold-hours", finished(3.5), air(3.0, 1.0, 1.0)),
        (
            "dried-fast",
            replace(finished(3.5), placement=Placement(AT, 30.0)),
            air(32.0, 22.0, 10.0),
        ),
    ],
)
def test_a_printed_cause_of_dusting_speaks_where_the_pour_has_it(
    cause: str, pour: Scenario, weather: AirSeries
) -> None:
    assert cause in speak(pour, weather, "dust", 48.0)
    assert cause not in speak(finished(3.5), MILD, "dust", 48.0)


def test_a_slab_that_dries_on_top_alone_curls_by_that() -> None:
    dry = air(22.0, 18.0, 3.0)
    on_its_board = replace(PLAIN, done=(Done("end-wet-cure", AT + 24 * HOUR),))
    assert speak(on_its_board, dry, "curl", 24.0 * 14)[:1] == ["one-face-dried"]
    assert "one-face-dried" not in speak(on_its_board, dry, "curl", 3.0)
