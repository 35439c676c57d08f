"""After the last coat: rain, light use, full use, salt, and sealing again."""

from collections.abc import Mapping

import numpy as np

from models.facts.after import SALT_COUNTS_C, SALT_FREE_D
from models.facts.handling import FULL_USE_SHARE, STEP_STRENGTH
from models.facts.sealers import Chemistry
from models.message import Message
from models.results import Need
from models.steps.case import Case
from models.steps.opening import StepOpening, Trajectory
from models.steps.seal import FILM_STOPS_C, film_rate
from models.steps.strip import needed
from models.units import Array

YEAR_H = 365.25 * 24


def hardened_h(trajectory: Trajectory) -> Array:
    """Hours at 20 degC that a film would have had at each row, from placing [h], (rows, members).

    Source: UFGS_09971 for colder hours, never more than the clock.
    """
    rate = film_rate(trajectory.top_C)
    middle = 0.5 * (rate[1:] + rate[:-1])
    return np.concatenate((np.zeros((1, trajectory.members)), np.cumsum(middle, axis=0)))


def film_h(trajectory: Trajectory, hardened: Array, last_coat_h: float, need_h: float) -> Array:
    """Hour at which the film of the last coat has hardened for `need_h` at 20 degC [h], (members,).

    hardened : (rows, members) [h]; last_coat_h : [h] from placing, infinite: no coat yet
    need_h : [h]
    Source: product sheet or TYPICAL_SHEET for the hours.
    """
    if not np.isfinite(last_coat_h):
        return np.full(trajectory.members, np.inf)
    return trajectory.first(hardened, trajectory.at(hardened, last_coat_h) + need_h)


def light_use(
    trajectory: Trajectory,
    chosen_MPa: Mapping[str, float],
    film: Array,
    last_coat: str,
    hours: float,
) -> StepOpening:
    """Strong enough for things on it, and the film hard; film (members,) [h], hours as told."""
    need = needed("light-use", chosen_MPa)
    return StepOpening(
        "light-use",
        Need(Message("strength_slowest"), need, "MPa"),
        np.maximum(trajectory.first(trajectory.strength_MPa, need), film),
        STEP_STRENGTH["light-use"].sources,
        shown=trajectory.strength_MPa,
        note=(Message("film_hours", {"after_h": hours}),),
        waits_for=_waits(film),
        after=last_coat,
    )


def full_use(trajectory: Trajectory, film: Array, last_coat: str, hours: float) -> StepOpening:
    """Ninety per cent of the 28-day strength and a film that is through."""
    need = FULL_USE_SHARE * trajectory.named_28d_MPa
    return StepOpening(
        "full-use",
        Need(Message("strength_slowest"), need, "MPa"),
        np.maximum(trajectory.first(trajectory.strength_MPa, need), film),
        ("COMMON_PRACTICE",),
        (Message("engineer_decides"),),
        shown=trajectory.strength_MPa,
        note=(Message("film_hours", {"after_h": hours}),),
        waits_for=_waits(film),
        after=last_coat,
    )


def rain_safe(film: Array, last_coat: str, hours: float) -> StepOpening:
    """The film bears rain and dew; frost before it has formed leaves powder."""
    return StepOpening(
        "rain-safe",
        Need(Message("since_last_coat_h"), hours, "h"),
        film,
        ("TYPICAL_SHEET", "UFC_3_190_06"),
        (Message("film_to_powder", {"under_C": FILM_STOPS_C}),),
        waits_for=_waits(film),
        after=last_coat,
    )


def de_icing(trajectory: Trajectory, film: Array, last_coat: str) -> StepOpening:
    """Salt may come near: six weeks over 4 degC, and a film that is through."""
    warm = trajectory.coldest_C > SALT_COUNTS_C
    days = np.cumsum(warm, axis=0) / 24.0
    return StepOpening(
        "de-icing",
        Need(Message("days_over", {"over_C": SALT_COUNTS_C}), SALT_FREE_D, "d"),
        np.maximum(trajectory.first(days, SALT_FREE_D), film),
        ("ACI_201_DEICING",),
        (
            Message("no_salt_first_winter"),
            Message("frost_while_wet", {"least_MPa": 24}),
        ),
        shown=days,
        waits_for=_waits(film),
        after=last_coat,
    )


def reseal(
    trajectory: Trajectory, kind: Chemistry, last_coat_h: float, last_coat: str
) -> StepOpening:
    """The same season, after the fewest years that the chemistry is given outdoors."""
    low, high = kind.reseal_years
    at = np.full(trajectory.members, last_coat_h + low * YEAR_H)
    return StepOpening(
        "reseal",
        Need(Message("since_last_coat_y"), low, "y"),
        at,
        ("TYPICAL_SHEET",),
        (Message("clean_before_reseal"),),
        note=(Message("years_outdoors", {"least_y": low, "most_y": high}), Message("drop_test")),
        waits_for=_waits(at),
        after=last_coat,
    )


def _waits(hour: Array) -> str:
    return "" if np.isfinite(hour).any() else "last-coat"


def rain_safe_of_case(case: Case) -> StepOpening:
    """Rain on the film, of one pour."""
    hours = case.setup.sheet.rain_free_h
    return rain_safe(_film(case, hours), case.setup.last_coat, hours)


def light_use_of_case(case: Case) -> StepOpening:
    """Light use, of one pour."""
    hours = case.setup.sheet.light_use_h
    film = _film(case, hours)
    return light_use(case.trajectory, case.needs_MPa, film, case.setup.last_coat, hours)


def full_use_of_case(case: Case) -> StepOpening:
    """Full use, of one pour."""
    hours = case.setup.sheet.full_use_h
    return full_use(case.trajectory, _film(case, hours), case.setup.last_coat, hours)


def de_icing_of_case(case: Case) -> StepOpening:
    """Salt, of one pour."""
    return de_icing(case.trajectory, _film(case, case.setup.sheet.full_use_h), case.setup.last_coat)


def reseal_of_case(case: Case) -> StepOpening:
    """Sealing again, of one pour: from the last coat that is marked done."""
    last = case.setup.last_coat
    return reseal(case.trajectory, case.setup.sheet.chemistry, case.done_h(last), last)


def _film(case: Case, hours: float) -> Array:
    return film_h(case.trajectory, case.film.hardened_h, case.film.at_h, hours)
