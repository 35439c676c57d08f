"""When the sweep of heat makes a step: the hours, shorter ones while much goes on."""

import numpy as np

from models.concrete._heat_state import Exposure
from models.units import Array, Mask

FINEST_H, FINE_H = 12.0, 48.0  # FINE_STEP_H, then a third more, then COARSE_STEP_H
FINE_STEP_H, COARSE_STEP_H = USUAL_H = (1 / 4, 1.0)
ROUGH_STEPS = 3  # of an hour behind FINE_H in which the outside changes much
ROUGH_K, AFTER_ROUGH_K = 2.0, 8.0  # so much is that; after so much the next hour too
AFTER_EVENT_H = (1 / 240, 1 / 120, 1 / 40, 1 / 20, 1 / 10, 1 / 5, 1 / 3, 1 / 2, 1.0)
MARKED_AFTER_H = (0.0, 1 / 10, 1 / 3)  # of those
STEPS_PER_TAU = 70  # while a mix releases its heat, half as many from one to four of its times


def grid(
    hours: int,
    events: Array,
    steps_h: tuple[float, float],
    tau_h: float | None,
    rough: Mask | None = None,
) -> Array:
    """Instants of the steps [h], so many an hour that each hour ends with one: fine at first, three
    for four to 48 h, three in rough hours behind, finer while a rapid mix warms, and short ones
    after each change.

    hours : [h] looked at; events : (n,) [h] changes of the schedule; steps_h : [h] before
    and behind FINE_H; tau_h : [h] hydration time of a rapid mix, None: none
    rough : `rough_hours`, so many or more; None: none is

    Source: OWN_JUDGEMENT, by what steps cost and miss: tests/bench/bench_heat.py.
    """
    fine, coarse = steps_h
    tau = np.inf if tau_h is None else tau_h * FINE_STEP_H / fine
    rapid_h = 0.0 if tau_h is None else tau_h
    ends = sorted(
        {min(np.ceil(end), FINE_H, hours) for end in (FINEST_H, rapid_h, 4 * rapid_h, FINE_H)}
    )
    begin, even = 0.0, [np.arange(hours + 1.0)]
    for end in ends:
        an_hour = 1 / fine if begin < FINEST_H else 0.75 / fine
        if begin < 4 * rapid_h:
            an_hour = max(an_hour, STEPS_PER_TAU / tau * (1.0 if begin < rapid_h else 0.5))
        an_hour = np.ceil(an_hour - 1e-9)
        even.append(begin + np.arange((end - begin) * an_hour) / an_hour)
        begin = end
    even.append(np.arange(round(begin / coarse), round(hours / coarse) + 1) * coarse)
    if rough is not None:
        hour = np.flatnonzero(rough[:hours])
        hour = hour[hour >= begin]
        even.append((hour[:, None] + np.arange(1, ROUGH_STEPS) / ROUGH_STEPS).ravel())
    scale = fine / FINE_STEP_H
    burst = (events[events < hours][:, None] + scale * np.array((0.0, *AFTER_EVENT_H))).ravel()
    every = np.sort(np.concatenate((*even, burst)))
    every = every[(every >= 0) & (every <= hours)]
    keep = np.concatenate(([True], np.diff(every) > 1e-6))
    grid = every[keep]
    whole = np.round(grid)
    return np.where(np.abs(grid - whole) < 1e-6, whole, grid)


def rough_hours(exposure: Exposure, hours: int) -> Mask:
    """Hours from placing in which the outside changes so much that one step misses it, (hours,).

    A face takes film x (outside - face): where both factors run straight through an hour, what they
    make is a curve, bent by the product of their changes. In one step, by a record of hours of sun
    and gusts, that was 0.4 K of a section and 0.8 K of its face; so it is under 0.12 and 0.2 K.

    exposure : reaches one hour further than `hours` [h]

    Source: tests/bench/bench_heat.py (OWN_MEASURED_2013) for the limits.
    """
    first = int(exposure.before_h)
    rows = slice(first, first + hours + 2)

    def bent_K(outside_C: Array, film: Array) -> Array:
        moved_K, grown = np.diff(outside_C[rows], axis=0), np.diff(np.log(film[rows]), axis=0)
        most_K: Array = np.abs(moved_K * grown).max(axis=1)
        return most_K

    at_row = np.maximum(
        bent_K(exposure.sol_C, exposure.film_top), bent_K(exposure.air_C, exposure.film_low)
    )
    most = at_row[:hours]
    if exposure.before_h > first:  # an hour from placing lies in two of the record
        most = np.maximum(most, at_row[1 : hours + 1])
    after = np.concatenate(([False], most[:-1] > AFTER_ROUGH_K))
    found: Mask = (most > ROUGH_K) | after
    return found


def marks_after(events: Array, hours: int) -> Array:
    """Instants at and soon after changes, on which steps end and hours do not, (n,) [h].

    events : (n,) [h] when something changes; hours : [h] looked at

    Source: definition of `grid`.
    """
    found = np.sort((events[:, None] + np.array(MARKED_AFTER_H)).ravel())
    apart = np.diff(found, prepend=-1.0) > 1e-5
    inside = (found > 1e-5) & (found < hours - 1e-5)
    marks: Array = found[apart & inside & (np.abs(found - np.round(found)) > 1e-5)]
    return marks
