"""What the air of a heated place went through when its heating failed, by what was read of it."""

import numpy as np

from models.air.place import Heated
from models.draws import Draws, even_in_blocks
from models.facts.rooms import LATE_H, MENDED_FRACTION, SOON_H, WARMS_H
from models.rng import Seed, stream
from models.simulation.conditioning import Series
from models.steps.opening import between
from models.units import Array

CLOSE_H = 3.0  # readings so near each other are joined by a straight line
LEAST_FALL_K = 0.5
MEMORY = 0.94  # of what is colder than the unheated room would be


def lower(predicted: Array, read: Series, left: Array, heated: Heated, seed: Seed) -> Array:
    """How much colder (not over 0) the place was at each hour than predicted [K], (rows, members).

    The room falls towards what it would be without heat, at its own lag, and is warm again soon
    after somebody saw it. Where only the lowest of some hours is known, it ended the fall at an
    hour drawn among them.

    predicted : (rows, members) [degC]; left : (n, members) by how much the readings lie lower [K]

    Source: first-order response (textbook); OWN_JUDGEMENT for how long a failure lasts.
    """
    rows, members = predicted.shape
    warms_h = np.interp(Draws(members).even("warm again"), (0.0, 1.0), WARMS_H)
    when = Draws(members).even("end of the fall")
    fraction, late, hold = (
        even_in_blocks(stream(name, seed), rows + 1, members)
        for name in ("mended by the next", "mended late", "mended")
    )
    hold_h = -np.log1p(-hold) * np.where(late > MENDED_FRACTION, LATE_H, SOON_H)
    row = np.arange(float(rows))[:, None]
    fall_K = np.maximum(predicted - heated.unheated_C, LEAST_FALL_K)

    timed = read.span_h == 0
    out = np.zeros((rows, members))
    if timed.any():
        at, depth = read.only(timed), -np.minimum(left[timed], 0.0)
        cell = np.floor(at.row).astype(int)
        gap = np.append(np.diff(at.row), np.inf)[:, None]
        until = np.where(np.isfinite(gap), fraction[cell] ** 2 * np.minimum(gap, 1e6), hold_h[cell])
        last = np.searchsorted(at.row, row[:, 0], side="right") - 1
        low, high = np.maximum(last, 0), np.minimum(last + 1, len(at) - 1)
        since, ahead = row - at.row[low][:, None], at.row[high][:, None] - row
        before = _falling(depth[high], between(fall_K, at.row)[high], ahead, heated.lag_h)
        behind = depth[low] * np.clip(1 - (since - until[low]) / warms_h, 0.0, 1.0)
        apart = np.maximum(since + ahead, 1e-9)
        joined = (depth[low] * ahead + depth[high] * since) / apart
        inside = (last >= 0) & (last + 1 < len(at))
        close = (inside & (apart[:, 0] <= CLOSE_H))[:, None]
        first, end = (last >= 0)[:, None], (last + 1 < len(at))[:, None]
        out = np.where(close, joined, np.maximum(first * behind, end * before))
    for k in np.flatnonzero(~timed):
        bottom = np.clip(read.ends[k] - when * read.span_h[k], 0.0, rows - 1.0)
        depth = np.broadcast_to(-np.minimum(left[k], 0.0), (1, members))
        fall = fall_K[np.floor(bottom).astype(int), np.arange(members)]
        before = _falling(depth, fall, np.maximum(bottom - row, 0.0), heated.lag_h)
        behind = depth * np.clip(1 - np.maximum(row - bottom, 0.0) / warms_h, 0.0, 1.0)
        out = np.maximum(out, np.where(row < bottom, before, behind))
    return -out


def _falling(depth: Array, fall_K: Array, ahead_h: Array, lag_h: Array) -> Array:
    """Depth on the way down, `ahead_h` before it reached `depth` [K]; not under 0."""
    known = np.minimum(depth, 0.999 * fall_K)
    reached = fall_K - (fall_K - known) * np.exp(np.minimum(ahead_h / lag_h, 50.0))
    beyond: Array = (depth - known) * MEMORY**ahead_h
    return np.maximum(reached, 0.0) + beyond
