"""Strength asked for each step [MPa], the floor no shop may go under, and factors for handling."""

from dataclasses import dataclass


@dataclass(frozen=True)
class StepStrength:
    """Default need and hard floor [MPa], with sources."""

    default_MPa: float
    floor_MPa: float
    sources: tuple[str, ...]


STEP_STRENGTH: dict[str, StepStrength] = {
    "strip": StepStrength(5.0, 2.0, ("CCA_42505", "COMMON_PRACTICE")),
    "core": StepStrength(5.0, 2.0, ("COMMON_PRACTICE",)),
    "sand": StepStrength(10.0, 5.0, ("COMMON_PRACTICE",)),
    "hone": StepStrength(20.0, 10.0, ("COMMON_PRACTICE",)),
    "light-use": StepStrength(15.0, 10.0, ("COMMON_PRACTICE",)),
}

TURN_FLOOR_MPA = 10.0  # common practice: least compressive strength before any turn
DYNAMIC_FACTOR = 1.5  # 2-estimator section 6; PCI stripping factors are 1.2 to 1.7 (PCI_HANDLING)
CRACKING_SAFETY = 1.5  # PCI_HANDLING
FULL_USE_FRACTION = 0.90  # of the specified 28-day strength, common practice
WET_CURE_FRACTION = 0.70  # of the specified strength, ACI_308R; EN_13670 class 4

# HSE_L23: what a man may lift near the body at waist height (from memory; 16 kg for a woman), and
# the share of their sum that a team of one, two, three lifts; four is not printed, and no team is
# larger. Guidance, no limit
LIFT_KG = 25.0
TEAM_SHARES = (1.0, 2 / 3, 1 / 2, 1 / 2)
AIR_BEFORE_SANDING_H = 4.0  # COMMON_PRACTICE: a few hours to a day with air all round
