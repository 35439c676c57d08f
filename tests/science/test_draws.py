"""The points that members are drawn from, against what points of a normal distribution must be."""

from statistics import NormalDist

import numpy as np
import pytest

from models import draws
from models.draws import BLOCK, COLUMNS, Draws
from tests.golden import draw_points

NORMAL = NormalDist()


@pytest.fixture(params=[64, 256])
def points(request: pytest.FixtureRequest) -> np.ndarray:
    return draws.table()[: request.param]


def test_each_column_has_the_moments_of_a_normal_distribution(points: np.ndarray) -> None:
    assert points.shape[1] == len(COLUMNS)
    np.testing.assert_allclose(points.mean(axis=0), 0.0, atol=1e-6)
    np.testing.assert_allclose(points.std(axis=0), 1.0, atol=1e-6)
    assert np.abs((points**3).mean(axis=0)).max() < 0.35
    assert np.abs((points**4).mean(axis=0) - 3).max() < 0.6
    even = [NORMAL.inv_cdf((k + 0.5) / len(points)) for k in range(len(points))]
    assert np.abs(np.sort(points, axis=0) - np.array(even)[:, None]).max() < 0.45


def test_no_two_columns_go_together(points: np.ndarray) -> None:
    together = points.T @ points / len(points)
    np.testing.assert_allclose(together, np.eye(len(COLUMNS)), atol=1e-6)


@pytest.mark.parametrize("chance", [0.05, 0.1, 0.2])
@pytest.mark.parametrize("family", range(len(draw_points.FAMILIES)))
def test_a_chance_on_any_side_of_a_plane_is_met(
    points: np.ndarray, chance: float, family: int
) -> None:
    """Planes as frost and strength lay them, a sixth of the variance told as a chance."""
    random = np.random.default_rng(family)
    of = draw_points.FAMILIES[family]
    middle, spread = np.array([of.get(name, (0.0, 0.0)) for name in COLUMNS]).T
    planes = middle + spread * random.standard_normal((200, len(COLUMNS)))
    planes /= np.linalg.norm(planes, axis=1)[:, None]
    far = (NORMAL.inv_cdf(chance) - points @ planes.T * np.sqrt(5 / 6)) * np.sqrt(6)
    got = np.array([[NORMAL.cdf(x) for x in row] for row in far.tolist()]).mean(axis=0)
    assert np.abs(got - chance).max() < (0.031 if len(points) == BLOCK else 0.015)
    assert np.sqrt(((got - chance) ** 2).mean()) < (0.012 if len(points) == BLOCK else 0.006)


def test_an_hour_of_strip_that_bends_is_as_even_by_them_as_by_many(points: np.ndarray) -> None:
    """Laws of the hour of strip, those with a label first; the many are of another seed."""
    many = np.random.default_rng(1998).standard_normal((60000, len(COLUMNS)))
    shares, at = (0.1, 0.5, 0.9), (np.arange(len(points)) + 0.5) / len(points)
    off = np.array(
        [
            np.interp(shares, at, np.sort(law.value(points))) - np.quantile(law.value(many), shares)
            for law in draw_points.responses()
        ]
    )
    with_label, without = np.abs(off[: draw_points.POURS]), np.abs(off[draw_points.POURS :])
    assert with_label.max() < (0.02 if len(points) == BLOCK else 0.01)
    assert without.max() < (0.045 if len(points) == BLOCK else 0.02)


def test_the_script_makes_the_first_points_of_the_table_again() -> None:
    """The others come by the same code beside these, in four times the time."""
    np.testing.assert_allclose(draw_points.first(), draws.table()[:BLOCK], atol=1e-3)


def test_more_members_are_the_same_ones_with_others_between() -> None:
    few, more = Draws(64), Draws(256)
    for name in ("air 1", "curve", "drying law 0"):
        np.testing.assert_array_equal(few.normal(name), more.normal(name)[:64])
    np.testing.assert_array_equal(few.even("law"), more.even("law")[:64])
    for name in ("air", "wind"):
        path = few.path(name, 0.9, -30, 200)
        np.testing.assert_array_equal(path, more.path(name, 0.9, -30, 200)[:, :64])
    rain = few.gamma("amounts of rain", 0.7, -5, 20)
    np.testing.assert_array_equal(rain, more.gamma("amounts of rain", 0.7, -5, 20)[:, :64])


@pytest.mark.parametrize(("first", "rows"), [(-500, 30), (-10, 40), (0, 5), (90, 400)])
def test_an_hour_has_the_same_error_whatever_span_is_asked(first: int, rows: int) -> None:
    whole = Draws(64).path("air", 0.95, -600, 1500)
    np.testing.assert_allclose(  # a product of matrices rounds by their size
        Draws(64).path("air", 0.95, first, rows), whole[600 + first :][:rows], atol=1e-12
    )
    amounts = Draws(64).gamma("amounts of rain", 0.7, -600, 1500)
    got = Draws(64).gamma("amounts of rain", 0.7, first, rows)
    np.testing.assert_array_equal(got, amounts[600 + first :][:rows])


def test_a_path_has_unit_variance_and_its_memory() -> None:
    path = Draws(4096, 3).path("air", 0.9, -100, 300)
    assert path.std(axis=1) == pytest.approx(np.ones(300), rel=0.05)
    for apart in (1, 12):
        together = (path[apart:] * path[:-apart]).mean(axis=1)
        assert together == pytest.approx(np.full(300 - apart, 0.9**apart), abs=0.07)


def test_another_seed_has_other_draws() -> None:
    assert not np.array_equal(Draws(64).normal("site"), Draws(64, 5).normal("site"))
    path, other = (Draws(64, seed).path("wind", 0.9, 0, 9) for seed in (4, 5))
    assert not np.array_equal(path, other)


@pytest.mark.parametrize("members", [1, 24, 100, 300])
def test_shares_are_even(members: int) -> None:
    share = Draws(members, 3).even("law")
    assert np.sort(share) == pytest.approx((np.arange(members) + 0.5) / members)
