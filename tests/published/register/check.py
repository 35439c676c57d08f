"""One row of the register: what a source prints, and the call that gives our value beside it."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from models.errors import InputError
from models.units import one_of
from service.published import STATUSES, Row, allowed
from tests.published.register.bibliography import BIBLIOGRAPHY


@dataclass(frozen=True)
class Check:
    """A printed value and how ours is asked for.

    source : key of the bibliography; where : place in it, and what is arithmetic on it
    published, ours : both in `unit`
    tolerance : "0.05" in `unit`, "0.5 %" of the published value, or "exact"
    status : how the printed value is known, one of STATUSES
    """

    source: str
    quantity: str
    unit: str
    published: float
    ours: Callable[[], float]
    tolerance: str
    status: str
    where: str

    def __post_init__(self) -> None:
        one_of("source", self.source, BIBLIOGRAPHY)
        one_of("status", self.status, STATUSES)
        if not (math.isfinite(self.published) and 0.0 <= self.allowed < math.inf):
            raise InputError(
                "tolerance", self.tolerance, "not a tolerance", 'such as "0.05", "0.5 %" or "exact"'
            )

    @property
    def allowed(self) -> float:
        """The largest difference that counts as agreement, in `unit`; NaN where it says none."""
        return allowed(self.tolerance, self.published)

    def compare(self) -> Row:
        """Ask the program."""
        named = BIBLIOGRAPHY[self.source]
        return Row(
            self.source,
            named.title,
            named.where,
            self.where,
            self.quantity,
            self.unit,
            self.published,
            float(self.ours()),
            self.tolerance,
            self.status,
        )
