"""How soon a two-part film takes its next coat, by the warmth of the face."""

import numpy as np

from models.coating.film import SealerSystem
from models.steps import seal
from tests.published.register.check import Check

LABEL_H, LABEL_C = 6.0, 24.5  # the row of 22 to 27 degC is taken as the label
ROWS = ((18.5, 8.0), (30.0, 4.0), (35.5, 3.0), (41.0, 2.0))  # middle of the row, least hours
WHERE = "polyurethane on polyurethane, recoat windows by the highest surface temperature"


def least_hours(face_C: float) -> float:
    """Least time to the next coat when the label's hours hold at LABEL_C [h]."""

    def rate(degrees: float) -> float:
        one = np.ones((1, 1))
        here = seal.LocalConditions(
            np.zeros(1), degrees * one, 0 * one, 0.5 * one, 0 * one, 0 * one, degrees * one
        )
        system = SealerSystem("two-part-urethane")
        return float(seal.drying_rate(here, system.resolved())[0, 0])

    return LABEL_H * rate(LABEL_C) / rate(face_C)


def _row(face_C: float, hours: float) -> Check:
    return Check(
        "UFGS_09971",
        f"least recoat time at {face_C:g} degC, 6 h at 24.5 degC",
        "h",
        hours,
        lambda: least_hours(face_C),
        "20 %",
        "page",
        WHERE,
    )


CHECKS = tuple(_row(*row) for row in ROWS)
