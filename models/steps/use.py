"""After the last coat: rain, light use, full use, salt, and sealing again."""

from dataclasses import replace

import numpy as np

from models.facts.after import SALT_COUNTS_C, SALT_FREE_D
from models.facts.frost import REPEATED_MPA
from models.facts.handling import FULL_USE_FRACTION, STEP_STRENGTH
from models.facts.sealers import FILM_STOPS_C
from models.message import Message
from models.results import Need
from models.steps.case import Case
from models.steps.opening import Condition, StepOpening, Trajectory, added_up, lasts_h
from models.steps.seal import film_rate
from models.steps.strip import needed
from models.units import Array

FILM = Message("last_film")
YEAR_H = 365.25 * 24


def hardened_h(trajectory: Trajectory) -> Array:
    """Hours at 20 degC that a film would have had at each row, from placing [h], (rows, members).

    Source: UFGS_09971 for colder hours, never more than the clock.
    """
    return added_up(film_rate(trajectory.top_C), trajectory.hour)


def rain_safe(case: Case) -> StepOpening:
    """The film bears rain and dew; frost before it has formed leaves powder."""
    hours = case.setup.top.rain_free_h
    film = _film_h(case, "rain_free_h")
    return StepOpening(
        "rain-safe",
        Need(Message("since_last_coat_h"), hours, "h"),
        film,
        ("TYPICAL_SHEET", "UFC_3_190_06"),
        (Message("film_to_powder", {"under_C": FILM_STOPS_C}),),
        waits_for=_waits(film),
        after=case.setup.last_coat,
    )


def light_use(case: Case) -> StepOpening:
    """Strong enough for things on it, and the film hard."""
    need, sources = needed("light-use", case.needs_MPa), STEP_STRENGTH["light-use"].sources
    return _use(case, "light-use", need, "light_use_h", sources)


def full_use(case: Case) -> StepOpening:
    """Ninety per cent of the specified strength in the section, and a film that is through."""
    trajectory = case.trajectory
    need = FULL_USE_FRACTION * trajectory.specified_28d_MPa
    opening = _use(case, "full-use", need, "full_use_h", ("COMMON_PRACTICE",))
    strong = trajectory.first(trajectory.strength_mean_MPa, need)
    return replace(
        opening,
        need=Need(Message("strength_section"), need, "MPa"),
        opens_h=np.maximum(strong, _film_h(case, "full_use_h")),
        cautions=(Message("engineer_decides"),),
        shown=trajectory.strength_mean_MPa,
    )


def de_icing(case: Case) -> StepOpening:
    """Salt may come near: six weeks over 4 degC, and a film that is through."""
    film, hour = _film_h(case, "full_use_h"), case.trajectory.hour
    aged = np.cumsum((case.trajectory.coldest_C > SALT_COUNTS_C) * lasts_h(hour), axis=0) / 24.0
    return StepOpening(
        "de-icing",
        Need(Message("days_over", {"over_C": SALT_COUNTS_C}), SALT_FREE_D, "d"),
        np.maximum(case.trajectory.first(aged, SALT_FREE_D), film),
        ("ACI_201_DEICING",),
        (Message("no_salt_first_winter"), Message("frost_while_wet", {"least_MPa": REPEATED_MPA})),
        shown=aged,
        conditions=(Condition(FILM, film),),
        waits_for=_waits(film),
        after=case.setup.last_coat,
    )


def reseal(case: Case) -> StepOpening:
    """The same season, after the fewest years that the chemistry is given outdoors."""
    low, high = case.setup.reseal_years
    last_coat_h = case.done_h(case.setup.last_coat)
    at = np.full(case.trajectory.members, last_coat_h + low * YEAR_H)
    return StepOpening(
        "reseal",
        Need(Message("since_last_coat_y"), low, "y"),
        at,
        ("TYPICAL_SHEET",),
        (Message("clean_before_reseal"),),
        note=(Message("years_outdoors", {"least_y": low, "most_y": high}), Message("drop_test")),
        waits_for=_waits(at),
        after=case.setup.last_coat,
    )


def _use(
    case: Case,
    step: str,
    need_MPa: float,
    named: str,
    sources: tuple[str, ...],
) -> StepOpening:
    """A strength at the slowest place, and films that have hardened for the hours that each sheet
    gives under a name."""
    trajectory, film = case.trajectory, _film_h(case, named)
    hours = getattr(case.setup.top, named)
    return StepOpening(
        step,
        Need(Message("strength_slowest"), need_MPa, "MPa"),
        np.maximum(trajectory.first(trajectory.strength_MPa, need_MPa), film),
        sources,
        shown=trajectory.strength_MPa,
        conditions=(Condition(FILM, film),),
        note=(Message("film_hours", {"after_h": hours}),),
        waits_for=_waits(film),
        after=case.setup.last_coat,
    )


def film_through_h(case: Case) -> tuple[Array, str]:
    """Hour at which the last film is through [h], (members,), and the coat that has no hour yet.

    Source: as for full use, a product sheet or TYPICAL_SHEET.
    """
    film = _film_h(case, "full_use_h")
    return film, _waits(film)


def _film_h(case: Case, named: str) -> Array:
    """Hour at which every film has hardened at 20 degC for the hours that its sheet gives under a
    name [h], (members,).

    Infinite where no hour is planned. Source: product sheet or TYPICAL_SHEET for the hours.
    """
    trajectory, film = case.trajectory, case.film
    found = np.full(trajectory.members, -np.inf)
    for at_h, sheet in ((film.at_h, case.setup.top), *film.under):
        if film.hardened_h is None or not np.isfinite(at_h):
            return np.full(trajectory.members, np.inf)
        need_h = trajectory.at(film.hardened_h, at_h) + getattr(sheet, named)
        found = np.maximum(found, trajectory.first(film.hardened_h, need_h))
    return found


def _waits(hour: Array) -> str:
    return "" if np.isfinite(hour).any() else "last-coat"
