"""How the members of a pour dry, and what a witness tile or a taped film says about it."""

from dataclasses import fields, replace

import numpy as np

from models.air import psychrometrics
from models.concrete import moisture, moisture_prior
from models.facts.air import WET_MM_H
from models.facts.instruments import FILM_WET_RH, FILM_WET_SPREAD, SCALE_SD_PCT, TILE_SD
from models.facts.moisture import (
    CONSTANT_MASS_PCT_D,
    DEPTH_ONE_FACE,
    DEPTH_TWO_FACES,
    PLENTY_MM,
    WAIT_AFTER_WET_FILM_H,
)
from models.facts.protection import COVERS
from models.message import Message, Value
from models.simulation import calibrate
from models.simulation.in_force import covered_until
from models.simulation.physics import Simulation
from models.simulation.plan import Plan
from models.simulation.scenario import FILM_KINDS, Scenario
from models.simulation.soaked import washed
from models.steps.dry import Drying
from models.steps.opening import Trajectory, between
from models.units import Array, Mask

FILM_UNLIKELY = 0.01  # a film seen against such odds contradicts, OWN_JUDGEMENT
LEAST_APART_D = 0.8  # weighed each morning
ADDED_UP = ("hour", "lost_kg_m2", "outflow_mm", "soaked_kg_m2")  # from the first row on
MOST_OF_MEAN_RH = 0.999  # the mean of some hours: no dew lies on the face through all of them
ALL = slice(None)
WEIGHED_LASTS_H = 72.0  # how long a constant mass speaks for the piece, OWN_JUDGEMENT


def settled(scenario: Scenario, simulation: Simulation, now_h: float) -> Simulation:
    """The members with their drying, weighed by tile and film readings; notes on what contradicts.

    now_h : [h] from placing; what is stripped, turned, cured and honed when, the plan says
    """
    drying = _drying(scenario, simulation)
    log_tile, tile_notes = _tile(scenario, simulation.trajectory, drying)
    log_film, no_coat_before_h, film_notes = _films(scenario, simulation.trajectory, drying)
    trajectory, log_weight = simulation.trajectory, log_tile + log_film
    if log_weight.any():
        weight = calibrate.tempered(np.log(np.maximum(trajectory.weight, 1e-300)) + log_weight)
        trajectory = replace(trajectory, weight=weight)
    return replace(
        simulation,
        trajectory=trajectory,
        drying=replace(
            drying,
            no_coat_before_h=no_coat_before_h,
            weighed_dry_h=_weighed_dry(scenario, trajectory, now_h),
        ),
        notes=(*simulation.notes, *tile_notes, *film_notes),
    )


def _drying(scenario: Scenario, simulation: Simulation) -> Drying:
    rows = slice(0, len(simulation.trajectory.hour) - 1)
    open_top, wet_top, conditions = _conditions(scenario, simulation, rows, ALL)
    dried = _dried(scenario, simulation, conditions)
    section_m = scenario.shape.thickest_mm / 1e3
    return Drying(dried, open_top, wet_top, scenario.mixture.density_kg_m3 * section_m)


def dried_on(scenario: Scenario, longer: Simulation, drying: Drying) -> Simulation:
    """A simulation with the drying of its hourly rows, and that on along the coarser ones behind.

    Behind them a row stands for the hours up to it, and not for the hour that begins there.
    """
    parts, row = [drying.dried], len(drying.dried.hour) - 1
    open_top, wet_top = drying.open_top, drying.wet_top
    steps_h = np.diff(longer.trajectory.hour)
    for row_h in dict.fromkeys(steps_h[row:].tolist()):
        last = row + int((steps_h[row:] == row_h).sum())
        after, ends = slice(row + 1, last + 1), slice(row, last + 1)
        open_top, wet_top, met = _conditions(scenario, longer, after, ends, row_h)
        parts.append(_dried(scenario, longer, met, parts[-1].profile[-1], row_h))
        row = last
    names = [one.name for one in fields(moisture.Dried) if one.name != "profile"]
    joined = {name: _joined([getattr(one, name) for one in parts], name) for name in names}
    dried = moisture.Dried(**joined, profile=parts[-1].profile)
    return replace(longer, drying=replace(drying, dried=dried, open_top=open_top, wet_top=wet_top))


def _joined(parts: list[Array], name: str) -> Array:
    """One column of some stretches behind each other, the first row of the later ones left out."""
    found = parts[:1]
    for one in parts[1:]:
        found.append(one[1:] + (found[-1][-1] if name in ADDED_UP else 0.0))
    return np.concatenate(found)


def _dried(
    scenario: Scenario,
    simulation: Simulation,
    conditions: moisture.Conditions,
    profile: Array | None = None,
    row_h: float = 1.0,
) -> moisture.Dried:
    one, wet = scenario.on_ground, scenario.water_cement
    cement = moisture_prior.cement_kg_m3(scenario.mixture, wet)
    return moisture.drying(
        scenario.shape.thickest_mm,
        moisture_prior.draw_law(simulation.prior, water_cement=wet, cement=cement),
        conditions,
        profile=profile,
        row_h=row_h,
        density_kg_m3=scenario.mixture.density_kg_m3,
        probes=(DEPTH_ONE_FACE,) if one else (DEPTH_TWO_FACES, 1 - DEPTH_TWO_FACES),
        keep=(len(conditions.top_rh),),
    )


def _conditions(
    scenario: Scenario, simulation: Simulation, rows: slice, ends: slice, row_h: float = 1.0
) -> tuple[Mask, Mask, moisture.Conditions]:
    """Whether the upper face is open and wet at every row, and what the section meets from row to
    row; rows : one for each stretch of row_h hours, ends : those at which stretches end."""
    trajectory, prior = simulation.trajectory, simulation.prior
    open_top, open_low = _open(scenario, trajectory, simulation.plan)
    wet_by_work = _washed(scenario, simulation.plan, trajectory)
    wet_top = (trajectory.rain_mm > WET_MM_H) & open_top | wet_by_work
    dew, top, mean = (
        one[rows] for one in (trajectory.dew_point_C, trajectory.top_C, trajectory.mean_C)
    )
    vapour = psychrometrics.saturation_pressure(dew)
    most_rh = 1.0 if ends == ALL else MOST_OF_MEAN_RH
    rain = np.minimum(trajectory.rain_mm[rows] * row_h, PLENTY_MM)
    wet, low = wet_by_work[rows], open_low[rows]
    return (
        open_top,
        wet_top,
        moisture.Conditions(
            np.where(open_top[rows], np.minimum(_humidity_at(vapour, top), most_rh), np.nan),
            np.where(low, np.minimum(_humidity_at(vapour, mean), most_rh), np.nan),
            np.clip(mean, -40.0, 95.0),
            moisture_prior.hydration_drop(prior, trajectory.te_mean_h[ends], scenario.water_cement),
            top_wet_mm=np.where(wet, PLENTY_MM, np.where(wet_top[rows], rain, 0.0)),
            low_wet_mm=np.where(wet & low, PLENTY_MM, 0.0),
        ),
    )


def _humidity_at(vapour: Array, face_C: Array) -> Array:
    """Humidity of the air where it touches a face, 1 where it condenses, (rows, members); vapour :
    its pressure [hPa]."""
    full = psychrometrics.saturation_pressure(np.clip(face_C, -60.0, 90.0))
    return np.minimum(vapour / full, 1.0)


def _open(scenario: Scenario, trajectory: Trajectory, plan: Plan) -> tuple[Mask, Mask]:
    """Whether the upper and the lower face meet the air, (rows, members) each."""
    hour = trajectory.hour
    cured_h, stripped_h, turned_h, off_h = (
        plan.hour(step) for step in ("end-wet-cure", "strip", "turn", "uncover")
    )
    if scenario.shape.like == "box":
        top = low = hour >= max(cured_h, stripped_h)
    else:
        top, low = hour >= cured_h, hour >= max(cured_h, turned_h)
    if scenario.on_ground:
        low = np.zeros_like(low)
    for covering in (*scenario.coverings, *plan.covers):
        if not COVERS[covering.kind].sealed:
            continue
        lies = (hour >= covering.from_h) & (hour < covered_until(covering, off_h))
        top = top & ~lies
        if covering.reach == "all":
            low = low & ~lies
    shape = trajectory.top_C.shape
    return np.broadcast_to(top[:, None], shape), np.broadcast_to(low[:, None], shape)


def _washed(scenario: Scenario, plan: Plan, trajectory: Trajectory) -> Mask:
    """Hours at which work keeps the faces wet, (rows, members)."""
    wet = washed(scenario, plan, trajectory.hour)
    return np.broadcast_to(wet[:, None], trajectory.top_C.shape)


def _tile(
    scenario: Scenario, trajectory: Trajectory, drying: Drying
) -> tuple[Array, tuple[Message, ...]]:
    """Log-likelihood of the members by the losses of a witness tile, and what contradicts.

    The tile is cast with the piece, as thick, and lies beside it: its fraction of mass lost between
    two weighings is the members'. A series shares what a tile differs from the piece by.

    Source: OWN_JUDGEMENT for the spreads; Gaussian likelihood.
    """
    weighed = scenario.readings(trajectory.hour[-1], "tile")
    log_weight = np.zeros(trajectory.members)
    notes: list[Message] = []
    pairs = list(zip(weighed, weighed[1:], strict=False))
    for (from_h, first), (to_h, second) in pairs:
        lost_pct = 100 * (first.value - second.value) / weighed[0][1].value
        lost = between(drying.dried.lost_kg_m2, np.array([from_h, to_h]))
        predicted = 100 * (lost[1] - lost[0]) / drying.mass_kg_m2
        middle = float(np.average(predicted, weights=trajectory.weight))
        spread = float(np.sqrt(np.average((predicted - middle) ** 2, weights=trajectory.weight)))
        own = np.hypot(np.sqrt(2) * SCALE_SD_PCT, TILE_SD * abs(middle))
        if abs(lost_pct - middle) > calibrate.SIGMAS * np.hypot(spread, own):
            values: dict[str, Value] = {
                "lost_pct": lost_pct,
                "at": second.at,
                "foreseen_pct": middle,
            }
            notes.append(Message("tile_contradicts", values))
            continue
        sd = np.hypot(np.sqrt(2) * SCALE_SD_PCT, TILE_SD * abs(middle) * np.sqrt(len(pairs)))
        log_weight -= 0.5 * ((lost_pct - predicted) / sd) ** 2
    return log_weight, tuple(notes)


def _weighed_dry(scenario: Scenario, trajectory: Trajectory, now_h: float) -> float:
    """Hour of the last weighing when a tile's mass has become constant [h]; infinite: it has not.

    Under 0.1 % a day, twice running, a day apart or more each, and weighed lately.

    Source: COMMON_PRACTICE (constant mass of the EN tests, from memory).
    """
    weighed = scenario.readings(trajectory.hour[-1], "tile")[-3:]
    if len(weighed) < 3 or now_h - weighed[-1][0] > WEIGHED_LASTS_H:
        return np.inf
    for (from_h, first), (to_h, second) in zip(weighed, weighed[1:], strict=False):
        days = (to_h - from_h) / 24
        change = 100 * abs(first.value - second.value) / first.value
        if days < LEAST_APART_D or change / days >= CONSTANT_MASS_PCT_D:
            return np.inf
    return weighed[-1][0]


def _films(
    scenario: Scenario, trajectory: Trajectory, drying: Drying
) -> tuple[Array, float, tuple[Message, ...]]:
    """Log-likelihood of wet films, the hour until which no coat goes on, and notes.

    A wet film says wait; a dry one proves nothing and moves nothing.

    Source: ASTM_D4263, UFC_3_190_06; OWN_JUDGEMENT for the humidity.
    """
    log_weight, wait_until_h = np.zeros(trajectory.members), -np.inf
    notes: list[Message] = []
    for hour, reading in scenario.readings(trajectory.hour[-1], *FILM_KINDS):
        at = {"at": reading.at}
        if reading.kind == "film-dry":
            notes.append(Message("film_dry_no_proof", at))
            continue
        wait_until_h = max(wait_until_h, hour + WAIT_AFTER_WET_FILM_H)
        mean = trajectory.at(drying.dried.mean_rh, hour)
        chance = 1 / (1 + np.exp(-(mean - FILM_WET_RH) / FILM_WET_SPREAD))
        if float(chance @ trajectory.weight) < FILM_UNLIKELY:
            notes.append(Message("film_wet_contradicts", at))
            continue
        log_weight += np.log(chance)
    return log_weight, wait_until_h, tuple(notes)
