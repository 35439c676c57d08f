"""Which of several answers about one place are believed, and which of those leads.

An answer is held against what is known there, earlier answers and a thermometer, and against the
other services. Each witness has one vote; who has more against than for it is not believed.
"""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from models.air import plausible
from models.air.series import AirSeries
from models.facts.air import AGREE_K, READING_AGREES_K
from service.weather import choose
from service.weather.provider import Known

MOIST_WITHIN_H = 48  # hours ahead that must have a dew point, to be asked no further
MOIST_FRACTION = 0.9


def enough(answers: Sequence[AirSeries], known: Known, now: datetime) -> bool:
    """Whether no other service need be asked: the last one's answer is not a day old, has moisture
    and is not contradicted, or another service agrees with it."""
    last = answers[-1]
    if not (young(last, now) and moist(last, now)):
        return False
    return not against(last, known, now) or agreed(answers, now)


def young(air: AirSeries, now: datetime) -> bool:
    return choose.grade(air.issued_at, now) in ("fresh", "ageing")


def moist(air: AirSeries, now: datetime) -> bool:
    """Whether the hours ahead have a dew point: without one no drying and no coat is told."""
    first = max(0, int(np.ceil(air.hour_of(now))))
    ahead = np.isfinite(air.air_C[first : first + MOIST_WITHIN_H])
    dew = np.isfinite(air.dew_point_C[first : first + MOIST_WITHIN_H])
    return bool(ahead.any() and (ahead & dew).sum() >= MOIST_FRACTION * ahead.sum())


def against(air: AirSeries, known: Known, now: datetime) -> str:
    """What is known of the place that an answer contradicts, in words; empty when nothing is."""
    reasons = []
    if known.earlier is not None:
        apart = plausible.apart_K(air, known.earlier, now)
        if abs(apart) > AGREE_K:
            reasons.append(f"{_over(apart)} what was told before")
    over = _over_readings_K(air, known)
    if abs(over) > READING_AGREES_K:
        reasons.append(f"{_over(over)} the thermometer there")
    return " and ".join(reasons)


def sorted_out(
    answers: Sequence[AirSeries], known: Known, now: datetime
) -> tuple[list[int], dict[int, str]]:
    """Places of the answers that are believed, the leading one first; and why the others are not.

    The freshest that counts leads: one that is not a day old by the order of asking, else the one
    made last. Of answers that only contradict each other the coldest is believed.
    """
    votes, why = _votes(answers, known, now)
    most = max(votes)
    believed = [k for k, vote in enumerate(votes) if vote >= 0]
    if not believed and len(answers) > 1 and votes.count(most) > 1 and not witnessed(known):
        believed = [min(range(len(answers)), key=lambda k: float(np.nanmean(answers[k].air_C)))]
    believed.sort(key=lambda k: _rank(answers[k], k, now))
    return believed, {k: why[k] for k in range(len(answers)) if k not in believed}


def _votes(
    answers: Sequence[AirSeries], known: Known, now: datetime
) -> tuple[list[int], dict[int, str]]:
    votes, why = [], {}
    for k, air in enumerate(answers):
        apart = [plausible.apart_K(air, other, now) for j, other in enumerate(answers) if j != k]
        if known.earlier is not None:
            apart.append(plausible.apart_K(air, known.earlier, now))
        agree = [abs(one) <= AGREE_K for one in apart if np.isfinite(one)]
        over = _over_readings_K(air, known)
        agree += [abs(over) <= READING_AGREES_K] if np.isfinite(over) else []
        votes.append(sum(1 if agrees else -1 for agrees in agree))
        others = [one for one in apart[: len(answers) - 1] if abs(one) > AGREE_K]
        words = [against(air, known, now)] + [f"{_over(one)} another service" for one in others]
        why[k] = "not believed: " + " and ".join(word for word in words if word)
    return votes, why


def agreed(answers: Sequence[AirSeries], now: datetime) -> bool:
    """Whether any two of them agree."""
    return any(
        abs(plausible.apart_K(one, other, now)) <= AGREE_K
        for k, one in enumerate(answers)
        for other in answers[:k]
    )


def witnessed(known: Known) -> bool:
    return known.earlier is not None or bool(known.readings)


def _over_readings_K(air: AirSeries, known: Known) -> float:
    over = [plausible.over_reading_K(air, at, value) for at, value in known.readings]
    there = [one for one in over if np.isfinite(one)]
    return float(np.median(there)) if there else float("nan")


def _rank(air: AirSeries, turn: int, now: datetime) -> tuple[bool, float]:
    fresh = young(air, now)
    return not fresh, turn if fresh else (now - air.issued_at).total_seconds()


def _over(apart_K: float) -> str:
    return f"{abs(apart_K):.0f} K {'over' if apart_K > 0 else 'under'}"
