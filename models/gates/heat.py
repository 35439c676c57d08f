"""First heating of a piece that stands by a fire."""

import numpy as np

from models.facts.after import FIRE_ADVICE, FIRE_AGE_D, FIRE_PORE_RH
from models.gates.dry import drying_days
from models.gates.gate import Course, Need, Opening
from models.units import Array


def first_heating(course: Course, section_mm: float, open_from_h: Array) -> Opening:
    """Twenty-eight days and dry: 3 % of moisture asks for about 75 % pore humidity or less."""
    dry_h = 24 * drying_days(section_mm, FIRE_PORE_RH)
    opens = np.maximum(24 * FIRE_AGE_D, open_from_h + dry_h)
    return Opening(
        "first-heating", Need("age", FIRE_AGE_D, "d"), opens,
        ("EN_1992_1_2", "DTU_DS_411", "COMMON_PRACTICE"), FIRE_ADVICE,
        shown=np.repeat(course.hour[:, None] / 24, course.members, axis=1),
        note="And under 3 % moisture: a section of this thickness takes"
        f" up to {dry_h / 24:.0f} days to dry with both faces open; weigh it to be sure.",
    )  # fmt: skip
