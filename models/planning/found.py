"""A number that the log holds of one cause, and what is said of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from models.message import Value


@dataclass(frozen=True)
class Found:
    """number : as facts.faults.TRACES counts it; values : of the sentence, in SI."""

    number: float
    values: Mapping[str, Value] = field(default_factory=dict)
