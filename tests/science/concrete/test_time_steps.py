"""The steps of the heat sweep on a record of real hours; `python tests/bench/bench_heat.py` prints
the same of four seasons."""

import numpy as np

from models.concrete import heat, time_steps
from tests.support.step_errors import members_of, most_missed_K


def test_hours_of_sun_and_gusts_get_steps_that_do_not_miss_them() -> None:
    members = members_of(4, 10, "open yard", 50.0)
    hourly, usual = most_missed_K(members, None), most_missed_K(members, members.rough)
    assert hourly["mean_C"] > 0.3  # such hours are in this record
    assert usual["mean_C"] < 0.1
    assert usual["coldest_C"] < 0.1
    assert usual["top_C"] < 0.15
    assert members.rough[int(time_steps.FINE_H) :].mean() < 0.25


def test_under_a_roof_hardly_an_hour_is_rough() -> None:
    members = members_of(4, 10, "covered", 50.0)
    assert members.rough[int(time_steps.FINE_H) :].sum() < 10
    assert max(most_missed_K(members, members.rough).values()) < 0.1


def outside(before_h: float, film: float, sol_C: float) -> heat.Exposure:
    """Ten hours alike, of which the sixth ends with another film and another warmth."""
    films, warm = np.full((10, 2), 10.0), np.full((10, 2), 20.0)
    films[6:, 1], warm[6:, 1] = film, sol_C
    same = np.full((10, 2), 5.0)
    return heat.Exposure(before_h, films, films, same, warm, same, same)


def test_an_hour_is_rough_where_film_and_warmth_of_a_member_change_together() -> None:
    assert (
        time_steps.rough_hours(outside(1.0, 20.0, 24.0), 7).tolist()
        == [False] * 4 + [True] + [False] * 2
    )  # 4 K x ln 2
    assert not time_steps.rough_hours(outside(1.0, 20.0, 22.0), 7).any()
    assert not time_steps.rough_hours(outside(1.0, 10.0, 50.0), 7).any()
    assert not time_steps.rough_hours(outside(1.0, 40.0, 20.0), 7).any()


def test_the_hour_after_a_great_change_is_rough_too_and_each_that_holds_a_part_of_it() -> None:
    great = time_steps.rough_hours(outside(1.0, 20.0, 40.0), 7)
    assert np.flatnonzero(great).tolist() == [4, 5]
    between = time_steps.rough_hours(outside(0.5, 20.0, 24.0), 7)
    assert np.flatnonzero(between).tolist() == [4, 5]
