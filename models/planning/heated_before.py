"""A mould or a ground that a tent warms before concrete is placed: since when, and how far."""

import math
from dataclasses import dataclass, replace

import numpy as np

from models.air import sky
from models.facts.frost import FROST_LIES_KH, LATENT_J_KG
from models.facts.materials import BOARDS, GROUND_DEPTH_MM
from models.facts.protection import (
    FROZEN_WATER_KG_M3,
    HEAT_BEFORE_MOST_H,
    TENT_NEAR_K,
)
from models.facts.rooms import WARM_UP_H
from models.planning.protection import ProtectionOption
from models.planning.starts import Starts
from models.simulation.scenario import Scenario
from models.steps import place as placing
from models.units import Array, Mask

STEP_H = 0.5
STILL_W_M2K = float(sky.convection(0.0))  # of still air on a face; radiation is kept in hand


@dataclass(frozen=True)
class Heated:
    """What a tent does before each start: its hours of heat [h], (starts,), whether they lie ahead,
    and the mould or the ground at placing [degC], (wide,)."""

    before_h: Array
    in_time: Mask
    base_C: Array

    def starts(self, starts: Starts) -> Starts:
        """The same starts upon the warmed base."""
        return replace(starts, base_C=self.base_C)


def heated(scenario: Scenario, option: ProtectionOption, starts: Starts, ahead_h: Array) -> Heated:
    """The base of each start with a tent about it: heated until nine of ten members are as warm as
    the concrete must be placed, or all but as warm as the tent, a day at the most.

    ahead_h : (starts,) [h] from now to each start

    A mould is lumped, heated from the face that the concrete meets. Ground thaws as deep as the
    frost of the days before went, then warms from its face; its mean over the depth that takes
    part counts as its temperature.

    Source: ACI_306R for the least; CRANK_1975 for the ground; STEFAN_1891 for frost and thaw;
    OWN_JUDGEMENT for the day.
    """
    (tent_C,) = (covering.setpoint_C for covering in option.coverings)
    assert tent_C is not None
    face, mean = _parts(scenario)
    lowest_C = starts.quantile(starts.air_C.min(axis=0), 0.1)
    least_C = placing.least_placed_C(scenario.code, scenario.shape.section_mm, lowest_C)
    wanted_C = np.minimum(least_C, tent_C - TENT_NEAR_K)
    idle_h = WARM_UP_H + _thaws_h(scenario, starts, tent_C)
    cold_C, late_h = starts.quantile(starts.base_C, 0.1), starts.quantile(idle_h, 0.9)
    warm = cold_C[:, None] + np.maximum(tent_C - cold_C, 0.0)[:, None] * face >= wanted_C[:, None]
    reached_h = np.where(warm.any(axis=1), STEP_H * np.argmax(warm, axis=1), HEAT_BEFORE_MOST_H)
    before_h = STEP_H * np.ceil((late_h + reached_h) / STEP_H)
    before_h = np.minimum(before_h, HEAT_BEFORE_MOST_H)
    grid_h = STEP_H * np.arange(len(face))
    part = np.interp(starts.every(before_h) - idle_h, grid_h, mean, left=0.0)
    base_C = starts.base_C + part * np.maximum(tent_C - starts.base_C, 0.0)
    return Heated(before_h, before_h <= ahead_h + 1e-9, base_C)


def _parts(scenario: Scenario) -> tuple[Array, Array]:
    """By half hours of heat the part of the way to the tent's temperature that the face of the base
    has gone, and the mean of the base, 0 to 1."""
    hours = STEP_H * np.arange(int(HEAT_BEFORE_MOST_H / STEP_H) + 1)
    board = BOARDS[scenario.mould.material]
    if not scenario.on_ground:
        depth_m = scenario.mould.thickness_mm / 1e3
        held = board.density_kg_m3 * board.c_J_kgK * depth_m
        tau_h = held * (1 / STILL_W_M2K + depth_m / (3 * board.k_W_mK)) / 3600
        gone = -np.expm1(-hours / tau_h)
        return gone, gone
    depth_m = GROUND_DEPTH_MM / 1e3
    held = board.density_kg_m3 * board.c_J_kgK

    def gone_at(depth: float) -> Array:
        """Half space that takes up heat through a film at its face."""
        return np.array([_half_space(depth, 3600 * h, board.k_W_mK, held) for h in hours])

    face, middle, low = (gone_at(depth_m * part) for part in (0.0, 0.5, 1.0))
    return face, (face + 4 * middle + low) / 6


def _half_space(depth_m: float, seconds: float, k_W_mK: float, held_J_m3K: float) -> float:
    """Part of the way that a half space has gone at a depth, 0 to 1. Source: CRANK_1975."""
    if seconds == 0:
        return 0.0
    reach_m = math.sqrt(k_W_mK / held_J_m3K * seconds)
    film = STILL_W_M2K * reach_m / k_W_mK
    depth = 0.5 * depth_m / reach_m
    lost = math.exp(STILL_W_M2K * depth_m / k_W_mK + film**2) * math.erfc(depth + film)
    return math.erfc(depth) - lost


def _thaws_h(scenario: Scenario, starts: Starts, tent_C: float) -> Array:
    """Hours until no frost is left in the ground, (wide,) [h]; a mould holds no water.

    Source: STEFAN_1891, in still air; OWN_JUDGEMENT for the water.
    """
    frozen = starts.base_C <= 0
    if not scenario.on_ground or not frozen.any():
        return np.zeros_like(starts.base_C)
    owed_Ks = 3600 * np.maximum(starts.frost_Kh, FROST_LIES_KH)
    k_W_mK, latent = BOARDS[scenario.mould.material].k_W_mK, FROZEN_WATER_KG_M3 * LATENT_J_KG
    depth_m = np.sqrt(2 * k_W_mK * owed_Ks / latent)
    seconds = latent * (depth_m**2 / (2 * k_W_mK) + depth_m / STILL_W_M2K) / max(tent_C, 0.1)
    return np.where(frozen, seconds / 3600, 0.0)
