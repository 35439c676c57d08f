"""Recoat windows of a two-part film: sooner and shorter in heat.

Source     UFGS_09971, polyurethane over polyurethane, recoat windows by surface temperature.
Page says  16-21 C 8 to 48 h, 22-27 C 6 to 48 h, 28-32 C 4 to 36 h, 33-38 C 3 to 24 h, 39-43 C 2
           to 12 h, 44-49 C 1 to 2 h; pot life halves per 10 K.
Status     page.
Tolerance  20 % for the least time at the middle of a row, since the rows are steps of 5 K; the
           shrinking of the end exact, since it is taken from the rows.
"""

import numpy as np
import pytest

from models.coating.film import SealerSystem
from models.steps import seal
from tests.published.register import ufgs_09971


@pytest.mark.parametrize(("face_C", "hours"), ufgs_09971.ROWS)
def test_least_time_follows_the_rows(face_C: float, hours: float) -> None:
    assert ufgs_09971.least_hours(face_C) == pytest.approx(hours, rel=0.20)


@pytest.mark.parametrize(("face_C", "share"), [(20, 1.0), (25, 1.0), (30, 0.75), (36, 0.5)])
def test_the_end_comes_sooner_in_heat(face_C: float, share: float) -> None:
    usual = SealerSystem("two-part-urethane").resolved()
    assert usual.recoat_max_h is not None
    got = seal.latest_recoat_h(np.array([face_C]), usual)[0]
    assert got == pytest.approx(share * usual.recoat_max_h)


def test_in_a_hot_shop_the_window_nearly_closes() -> None:
    usual = SealerSystem("two-part-urethane").resolved()
    cool, hot = seal.latest_recoat_h(np.array([20.0, 46.0]), usual)
    assert hot < cool / 10


def test_the_end_on_the_products_own_sheet_is_not_moved() -> None:
    told = SealerSystem("two-part-urethane", recoat_min_h=4, recoat_max_h=18).resolved()
    assert seal.latest_recoat_h(np.array([36.0]), told)[0] == 18.0
