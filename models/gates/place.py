"""May I pour now? Limits on the concrete as placed and on what the air does to a fresh face."""

from models.facts.protection import AS_MIXED_C, AS_PLACED_C

LEAST_DELIVERED_C = 5.0  # EN 206 5.2.9 as quoted by UK practice; EN_13670
COLD_AIR_C = 5.0  # ACI_306R: cold weather when the air may fall under 5 degC
LATE_RAIN_MM = 0.2  # an hour with more than this marks a fresh face, OWN_JUDGEMENT


def as_placed_C(section_mm: float) -> float:
    """Least concrete temperature as placed and kept in cold weather [degC]. section_mm [mm].

    Source: ACI_306R table 5.1 (55, 50, 45, 40 F).
    """
    return next(limit for most, limit in AS_PLACED_C if section_mm < most)


def as_mixed_C(section_mm: float, lowest_air_C: float) -> float:
    """Least concrete temperature as mixed for thin sections [degC]; lowest_air_C [degC].

    Thicker sections ask 3 K less a class. Source: ACI_306R table 5.1.
    """
    thin = next(limit for above, limit in AS_MIXED_C if lowest_air_C > above)
    classes = sum(section_mm >= most for most, _ in AS_PLACED_C[:-1])
    return thin - 3.0 * classes
