"""The compiled sweep against its slow twin, and the order of its steps."""

from collections.abc import Callable

import numpy as np
import pytest

from models.concrete import _heat_kernel, _heat_sides, _heat_stages, _heat_state, heat, time_steps
from models.facts.materials import BOARDS
from tests.support import sections


def one(value: float) -> np.ndarray:
    return np.array([value])


def small_case() -> heat.Histories:
    """Two members, ten hours, mould off and cover on half way, wet face at first, board below."""
    hours, members = 10, 2
    random = np.random.default_rng(3)
    air = 8 + random.normal(0, 2, (hours + 2, members))
    film = 15 + random.random((hours + 2, members))
    return heat.temperature(
        heat.Column(
            40.0, 16.0, BOARDS["plywood"], plan_mm=(600.0, 400.0), side_mm=16.0, side=BOARDS["mdf"]
        ),
        heat.Schedule(
            np.array([0.0, 3.3, 7.0]),
            np.array([0.0, 0.5, 0.5]),
            np.zeros(3),
            np.array([0.2, 0.2, 0.5]),
            np.array([1.0, 1.0, 0.0]),
            np.array([1.0, 1.0, 0.0]),
            np.array([1.0, 0.0, 0.0]),
            np.array([np.nan, np.nan, 20.0]),
            np.full(3, np.nan),
        ),
        heat.Exposure(0.0, film, 0.8 * film, 0.7 * film, air - 2, air, 5 + 0 * air),
        heat.Kinetics(
            np.array([1.2e8, 1.6e8]),
            np.array([14.0, 3.0]),
            np.array([0.9, 1.1]),
            np.array([40.0, 33.5]),
            np.array([0.0, 1.47]),
        ),
        np.array([18.0, 22.0]),
        hours,
    )


def test_no_layout_of_its_arrays_compiles_the_sweep_anew() -> None:
    """Half a minute each: a broadcast value, a column of a table and whole degrees are the same."""
    small_case()
    known = len(_heat_kernel.sweep.signatures)  # type: ignore[attr-defined]
    table = np.array([[1.2e8, 14.0, 0.9, 40.0, 0.0], [1.6e8, 3.0, 1.1, 33.5, 1.47]])
    film = np.broadcast_to(15.0, (8, 2))
    heat.temperature(
        heat.Column(40.0, 16.0, BOARDS["plywood"]),
        sections.schedule(R_top=0.5, R_side=0.5, board=True),
        heat.Exposure(0.0, film, film, film, film, film[::-1], 0 * film),
        heat.Kinetics(*table.T),
        np.array([18, 22]),
        6,
    )
    assert len(_heat_kernel.sweep.signatures) == known  # type: ignore[attr-defined]


def twins(function: Callable[..., object]) -> Callable[..., object]:
    """The same code without compilation."""
    return function.py_func  # type: ignore[attr-defined, no-any-return]


def test_compiled_sweep_is_its_slow_twin(monkeypatch: pytest.MonkeyPatch) -> None:
    fast = small_case()
    called: list[int] = []
    for room in (_heat_state, _heat_sides, _heat_stages, _heat_kernel):
        for name in dir(room):
            compiled = getattr(room, name)
            if hasattr(compiled, "py_func"):
                monkeypatch.setattr(room, name, twins(compiled))
    plain: Callable[..., None] = _heat_kernel.sweep

    def counted(*arguments: object) -> None:
        called.append(1)
        plain(*arguments)

    monkeypatch.setattr(_heat_kernel, "sweep", counted)
    slow = small_case()
    assert called
    for name in ("mean_C", "top_C", "coldest_C", "te_mean_h", "te_cold_h"):
        np.testing.assert_allclose(getattr(fast, name), getattr(slow, name), rtol=0, atol=1e-9)
    assert np.isfinite(fast.coldest_C).all()


def hydrating(cells: int, step: float) -> np.ndarray:
    hours = 48
    air = 10 + 6 * np.sin(2 * np.pi * np.arange(hours + 2) / 24)
    return heat.temperature(
        heat.Column(100.0, cells=cells),
        sections.schedule(R_side=1e9),
        sections.exposure(air, 18.0, 12.0, hours + 1),
        heat.Kinetics(one(1.2e8), one(14.0), one(0.9), one(40.0), one(0.0)),
        one(20.0),
        hours,
        steps_h=(step, step),
    ).mean_C[:, 0]


def orders(errors: list[float]) -> list[float]:
    return [float(np.log2(a / b)) for a, b in zip(errors, errors[1:], strict=False)]


def test_few_cells_are_enough_and_more_cells_converge() -> None:
    best = hydrating(320, 1 / 24)
    errors = [float(np.abs(hydrating(n, 1 / 24) - best)[1:].max()) for n in (3, 6, 20, 40)]
    assert errors[0] < 0.005
    assert errors[1] < 0.001
    assert errors[3] < errors[2] / 3 < errors[0] / 30


def test_halving_the_steps_cuts_the_error_to_less_than_a_third() -> None:
    best = hydrating(20, 1 / 192)
    errors = [float(np.abs(hydrating(20, 1 / n) - best)[6:].max()) for n in (12, 24, 48)]
    assert min(orders(errors)) > 1.6
    assert errors[0] < 0.01


def test_time_grid_holds_every_hour_and_every_change() -> None:
    changes = np.array([0.0, 5.37, 60.25])
    grid = time_steps.grid(72, changes, time_steps.USUAL_H, 2.5)
    assert (np.diff(grid) > 0).all()
    assert set(range(73)) <= set(grid.tolist())
    for change in (5.37, 60.25):
        assert np.abs(grid - change).min() < 1e-9
    assert np.diff(grid).max() <= time_steps.COARSE_STEP_H + 1e-9
    rough = np.arange(80) == 70
    thirds = time_steps.grid(72, changes, time_steps.USUAL_H, 2.5, rough)
    np.testing.assert_allclose(np.setdiff1d(thirds, grid), (70 + 1 / 3, 70 + 2 / 3))


def test_a_cover_that_goes_on_stops_the_wet_face_from_cooling_under_the_air() -> None:
    hours = 40
    same = np.ones((hours + 2, 1))

    def face(wet_until_h: float) -> np.ndarray:
        dry, damp = np.array([0.0, wet_until_h]), np.array([1.0, 0.0])
        none, nothing = np.zeros(2), np.full(2, np.nan)
        return heat.temperature(
            heat.Column(50.0),
            heat.Schedule(
                dry, np.array([0.0, 0.05]), none, none, none, none, damp, nothing, nothing
            ),
            heat.Exposure(0.0, 18 * same, 18 * same, 13 * same, 20 * same, 20 * same, 9 * same),
            sections.inert(),
            one(20.0),
            hours,
        ).top_C[:, 0]

    short, long = face(2.0), face(39.0)
    assert long[30] < 17.0
    assert short[30] > 19.5
    assert short[1] == pytest.approx(long[1], abs=1e-9)
