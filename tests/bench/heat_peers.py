"""The heat kernel against its peers at equal error: `python tests/bench/heat_peers.py`.

Prints, asserts nothing. All solve the equations of bench_heat.py for 64 members, 28 days, 24 cells
of concrete, with the longest steps (or the loosest tolerance) that miss a tight solve_ivp by no
more than 0.05 and 0.01 K; the kernel takes its own steps, and works out edge strip, corner and ages
besides, which the peers go without. One LSODA on all members in a band, a theta scheme in numpy,
and a plain loop compiled by numba, one member after the other. All cost is processor time.
"""

import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import numpy as np
from numba import njit
from scipy.integrate import odeint

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.bench.bench_heat import (
    ABOVE,
    BELOW,
    BETA,
    BETWEEN,
    CAPACITY,
    CELLS,
    DX,
    ENERGY_K,
    HEAT,
    RC,
    TAU_H,
    N,
    air_C,
    baseline_run,
    kernel_run,
    one_run,
    spent,
)

HOURS, MEMBERS, ENOUGH_K = 672, 64, (0.05, 0.01)
STEPS_AN_HOUR = (1, 2, 3, 4, 6, 8, 12, 16, 24)
RTOL = (1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8)
AIR_C = air_C(HOURS + 2)


def starts() -> np.ndarray:
    """The first member is that of the tight run."""
    return np.append(17.0, np.linspace(14.0, 20.0, MEMBERS - 1))


def in_a_band(rtol: float) -> np.ndarray:
    """All members in one system: temperature and age of a cell side by side, cells in a row."""
    clock = np.arange(HOURS + 2.0)

    def change(y: np.ndarray, t: float) -> np.ndarray:
        both = y.reshape(MEMBERS, N, 2)
        T, age = both[:, :, 0], np.maximum(both[:, :CELLS, 1], 1e-6)
        a = np.interp(t, clock, AIR_C)
        flow = np.empty((MEMBERS, N + 1))
        flow[:, 0], flow[:, -1] = ABOVE * (a - T[:, 0]), BELOW * (T[:, -1] - a)
        flow[:, 1:-1] = BETWEEN * (T[:, :-1] - T[:, 1:])
        pace = np.exp(ENERGY_K * (1 / 293.15 - 1 / (T[:, :CELLS] + 273.15)))
        x = (TAU_H / age) ** BETA
        out = np.zeros_like(both)
        out[:, :, 0] = 3600 * (flow[:, :-1] - flow[:, 1:]) / CAPACITY
        out[:, :CELLS, 0] += HEAT * np.exp(-x) * x * BETA / age * pace / RC
        out[:, :CELLS, 1] = pace
        return out.ravel()

    begin = np.zeros((MEMBERS, N, 2))
    begin[:, :CELLS, 0], begin[:, CELLS:, 0] = starts()[:, None], AIR_C[0]
    with np.errstate(invalid="ignore", over="ignore"):
        done = odeint(
            change, begin.ravel(), clock[: HOURS + 1], rtol=rtol, atol=rtol, ml=2, mu=2, mxstep=5000
        )
    return np.asarray(done.reshape(-1, MEMBERS, N, 2)[:, :, :CELLS, 0].mean(axis=2))


def set_free(age: np.ndarray) -> np.ndarray:
    return np.asarray(HEAT * np.exp(-((TAU_H / np.maximum(age, 1e-6)) ** BETA)))


def by_numpy(an_hour: int) -> np.ndarray:
    """Trapezoid in time, members side by side; the heat of a step by the pace at its begin, set
    right at its end."""
    dt, rows = 1 / an_hour, np.empty((HOURS + 1, MEMBERS))
    air = np.interp(np.arange(HOURS * an_hour + 1) * dt, np.arange(HOURS + 2.0), AIR_C)
    T = np.full((N, MEMBERS), AIR_C[0])
    T[:CELLS] = starts()
    age, short = np.zeros((CELLS, MEMBERS)), np.zeros((CELLS, MEMBERS))
    rows[0] = T[:CELLS].mean(axis=0)
    g = 0.5 * 3600 * np.concatenate(([ABOVE], BETWEEN, [BELOW]))
    middle = CAPACITY / dt + g[:-1] + g[1:]
    c = np.empty(N)
    c[0] = g[1] / middle[0]
    for i in range(1, N):
        c[i] = g[i + 1] / (middle[i] - g[i] * c[i - 1])
    pivot = middle - np.append(0.0, g[1:-1] * c[:-1])
    pace = np.exp(ENERGY_K * (1 / 293.15 - 1 / (T[:CELLS] + 273.15)))
    for s in range(HOURS * an_hour):
        guess = set_free(age + dt * pace) - set_free(age) + short
        right = (CAPACITY / dt - g[:-1] - g[1:])[:, None] * T
        right[1:] += g[1:-1, None] * T[:-1]
        right[:-1] += g[1:-1, None] * T[1:]
        right[0] += g[0] * (air[s] + air[s + 1])
        right[-1] += g[-1] * (air[s] + air[s + 1])
        right[:CELLS] += DX / dt * guess
        right[0] /= pivot[0]
        for i in range(1, N):
            right[i] = (right[i] + g[i] * right[i - 1]) / pivot[i]
        for i in range(N - 2, -1, -1):
            right[i] += c[i] * right[i + 1]
        T = right
        now = np.exp(ENERGY_K * (1 / 293.15 - 1 / (T[:CELLS] + 273.15)))
        older = set_free(age)
        age = age + 0.5 * dt * (pace + now)
        short += set_free(age) - older - guess
        pace = now
        if (s + 1) % an_hour == 0:
            rows[(s + 1) // an_hour] = T[:CELLS].mean(axis=0)
    return rows


@njit(cache=True, error_model="numpy")
def _plain(an_hour, begin, air_C, capacity, g, rows):  # type: ignore[no-untyped-def]
    """The same, one member after the other, as anybody would write it."""
    dt, hours = 1 / an_hour, rows.shape[0] - 1
    T, right, c = np.empty(N), np.empty(N), np.empty(N)
    age, short, pace, guess = np.empty(CELLS), np.empty(CELLS), np.empty(CELLS), np.empty(CELLS)
    for m in range(begin.shape[0]):
        for i in range(N):
            T[i] = begin[m] if i < CELLS else air_C[0]
        for i in range(CELLS):
            age[i] = short[i] = 0.0
            pace[i] = np.exp(ENERGY_K * (1 / 293.15 - 1 / (T[i] + 273.15)))
        rows[0, m] = begin[m]
        for s in range(hours * an_hour):
            hour = s // an_hour
            at, to = (s - hour * an_hour) * dt, (s + 1 - hour * an_hour) * dt
            both = 2 * air_C[hour] + (air_C[hour + 1] - air_C[hour]) * (at + to)
            for i in range(CELLS):
                free = HEAT * np.exp(-((TAU_H / max(age[i], 1e-6)) ** BETA))
                ahead = HEAT * np.exp(-((TAU_H / (age[i] + dt * pace[i])) ** BETA))
                guess[i] = ahead - free + short[i]
                short[i] -= free + guess[i]
            for i in range(N):
                b = capacity[i] / dt + g[i] + g[i + 1]
                right[i] = (capacity[i] / dt - g[i] - g[i + 1]) * T[i]
                right[i] += g[i] * (T[i - 1] if i > 0 else both)
                right[i] += g[i + 1] * (T[i + 1] if i < N - 1 else both)
                if i < CELLS:
                    right[i] += DX / dt * guess[i]
                if i > 0:
                    b -= g[i] * c[i - 1]
                    right[i] += g[i] * right[i - 1]
                right[i] /= b
                c[i] = g[i + 1] / b
            T[N - 1] = right[N - 1]
            for i in range(N - 2, -1, -1):
                T[i] = right[i] + c[i] * T[i + 1]
            mean = 0.0
            for i in range(CELLS):
                now = np.exp(ENERGY_K * (1 / 293.15 - 1 / (T[i] + 273.15)))
                age[i] += 0.5 * dt * (pace[i] + now)
                short[i] += HEAT * np.exp(-((TAU_H / age[i]) ** BETA))
                pace[i] = now
                mean += T[i]
            if (s + 1) % an_hour == 0:
                rows[hour + 1, m] = mean / CELLS


def by_a_loop(an_hour: int) -> np.ndarray:
    rows = np.empty((HOURS + 1, MEMBERS))
    g = 0.5 * 3600 * np.concatenate(([ABOVE], BETWEEN, [BELOW]))
    _plain(an_hour, starts(), AIR_C, CAPACITY, g, rows)
    return rows


def least(
    work: Callable[[Any], np.ndarray], tried: Iterable[float], tight: np.ndarray, enough_K: float
) -> tuple[float, float]:
    """The first that misses no more than is enough, and what it misses [K]; else the last."""
    for one in tried:
        missed = float(np.abs(work(one)[:, 0] - tight)[1:].max())
        if missed <= enough_K:
            break
    return one, missed


def main() -> None:
    print(f"load of the machine before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    tight = baseline_run(HOURS, tight=True)
    missed = float(np.abs(one_run(HOURS, CELLS) - tight)[1:].max())
    own = spent(lambda: kernel_run(MEMBERS, HOURS))[0]
    print(f"{'kernel':30s} {1e3 * own:9.1f} ms of core, misses {missed:.4f} K")
    peers: tuple[tuple[str, Callable[[Any], np.ndarray], tuple[float, ...]], ...] = (
        ("LSODA, all in one band", in_a_band, RTOL),
        ("theta scheme in numpy", by_numpy, STEPS_AN_HOUR),
        ("plain loop, compiled", by_a_loop, STEPS_AN_HOUR),
    )
    for words, work, tried in peers:
        for enough_K in ENOUGH_K:
            one, missed = least(work, tried, tight, enough_K)
            core = spent(lambda work=work, one=one: work(one), 3)[0]  # type: ignore[misc]
            by = f"rtol {one:g}" if one < 1 else f"{one} steps an hour"
            print(
                f"{words:30s} {1e3 * core:9.1f} ms of core, misses {missed:.4f} K with {by}:"
                f" {core / own:.1f} times the kernel",
                flush=True,
            )


if __name__ == "__main__":
    main()
