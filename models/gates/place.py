"""May I pour now? Limits on the concrete as placed and on what the air does to a fresh face."""

from models.facts.protection import AS_MIXED_AIR_C, AS_MIXED_C, AS_PLACED_C

LEAST_DELIVERED_C = 5.0  # EN 206 5.2.9 as quoted by UK practice; EN_13670
COLD_AIR_C = 5.0  # ACI_306R: cold weather when the air may fall under 5 degC
LATE_RAIN_MM = 0.2  # an hour with more than this marks a fresh face, OWN_JUDGEMENT


def as_placed_C(section_mm: float) -> float:
    """Least concrete temperature as placed and kept in cold weather [degC]. section_mm [mm].

    Source: ACI_306R table 5.1 (55, 50, 45, 40 F).
    """
    return next(limit for most, limit in AS_PLACED_C if section_mm < most)


def as_mixed_C(section_mm: float, lowest_air_C: float) -> float:
    """Least concrete temperature as mixed [degC]. section_mm [mm]; lowest_air_C [degC].

    Source: ACI_306R table 5.1 (60, 65, 70 F for thin sections, 5 F less a class of thickness).
    """
    row = next(limits for most, limits in AS_MIXED_C if section_mm < most)
    return row[sum(lowest_air_C <= limit for limit in AS_MIXED_AIR_C)]
