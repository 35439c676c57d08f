"""What a shop does against sun, wind and dry air in the first hours; the cheapest first. Rows only."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Measure:
    """Shares of sun and wind that are left, and the least relative humidity over the face, 0 to 1."""

    sun: float
    wind: float
    rh_least: float
    effort: float
    sources: tuple[str, ...]


# ACI 305R names the measures; how much each does at a small piece is common practice
MEASURES: dict[str, Measure] = {
    "shade": Measure(0.2, 1.0, 0.0, 1.0, ("ACI_305R", "COMMON_PRACTICE")),
    "wind break": Measure(1.0, 0.5, 0.0, 2.0, ("ACI_305R", "COMMON_PRACTICE")),
    "fog": Measure(1.0, 1.0, 0.9, 3.0, ("ACI_305R", "COMMON_PRACTICE")),
}
MEASURED_H = 6  # they stand for the first hours, until the face has set; COMMON_PRACTICE
COLD_WATER_C = 3.0  # water off ice: COMMON_PRACTICE
