"""What formulas of the sky's long-wave radiation miss, the members spread by.

Source     FINCH_BEST_2004, abstract; cloud effect on long-wave radiation over FIFE, 1993, abstract.
Page says  root mean square errors of simple models: 24 W/m2 clear, 22 W/m2 cloudy; over FIFE 15
           to 17.
Status     page.
Tolerance  from 13 W/m2 (15 to 17, some of it from hour to hour) to 24 W/m2.
"""

from datetime import UTC, datetime

import numpy as np
import pytest

from models.air import members, place
from models.air.series import AirSeries
from models.facts.materials import EMISSIVITY

START = datetime(2025, 11, 20, tzinfo=UTC)


@pytest.mark.parametrize("cloud", [0.0, 0.6])
def test_members_differ_in_their_sky_as_formulas_differ_from_measured_skies(cloud: float) -> None:
    same = np.ones(24)
    record = AirSeries(
        START, 5 * same, 2 * same, 3 * same, 0 * same, cloud * same, 0 * same, START, "made up"
    )
    outdoor = members.draw(record, 256)
    outdoor.cloud_fraction[:] = cloud
    outdoor.air_C[:], outdoor.dew_point_C[:] = 5.0, 2.0
    yard = place.at_piece(place.Site("open yard", 44.0, 0.0, hollow="no"), outdoor)
    lost = yard.sky_loss_W_m2[:, (yard.sky_loss_W_m2 > 0).all(axis=0)] / EMISSIVITY
    assert 13.0 < lost.std(axis=1).mean() < 24.0
    assert np.ptp(lost, axis=0).max() < 1e-6  # the same sky through the pour
