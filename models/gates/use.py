"""Light use and full use."""

import numpy as np

from models.facts.handling import FULL_USE_SHARE, STEP_STRENGTH
from models.gates.gate import Course, Need, Opening
from models.gates.strip import needed


def light_use(
    course: Course, chosen_MPa: dict[str, float], film_h: float | None, last_coat: str
) -> Opening:
    """Strong enough for things on it, and the film hard; film_h None: no date yet."""
    need = needed("light-use", chosen_MPa)
    film = np.inf if film_h is None else film_h
    return Opening(
        "light-use", Need("strength at the slowest place", need, "MPa"),
        np.maximum(course.first(course.strength_MPa, need), film),
        STEP_STRENGTH["light-use"].sources, shown=course.strength_MPa,
        note="After the last coat has hardened.",
        waits_for="" if film_h is not None else "the last coat",
        after=last_coat,
    )  # fmt: skip


def full_use(course: Course, film_h: float | None, last_coat: str) -> Opening:
    """Ninety per cent of the 28-day strength and a film that is through."""
    need = FULL_USE_SHARE * course.named_28d_MPa
    film = np.inf if film_h is None else film_h
    return Opening(
        "full-use", Need("strength at the slowest place", need, "MPa"),
        np.maximum(course.first(course.strength_MPa, need), film), ("COMMON_PRACTICE",),
        ("For anything that carries people, local codes and a licensed engineer decide.",),
        shown=course.strength_MPa, waits_for="" if film_h is not None else "the last coat",
        after=last_coat,
    )  # fmt: skip
