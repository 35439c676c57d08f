"""How the fresh mix presses a wall: as a liquid, or less where it is placed slowly."""

from dataclasses import dataclass

from models.facts.formwork import (
    ACI_A_KPA,
    ACI_B,
    ACI_C,
    ACI_CC,
    ACI_HEAVY_KG_M3,
    ACI_HEIGHT_M,
    ACI_LEAST_CW,
    ACI_LEAST_KPA,
    ACI_LIGHT_KG_M3,
    ACI_RATE_M_H,
    ACI_REF_KG_M3,
    ACI_SECOND_B,
    ACI_SECOND_R,
    ACI_SECOND_RATE_M_H,
    ACI_SLUMP_MM,
    CIRIA_C1,
    CIRIA_C2,
    CIRIA_K_C,
    CIRIA_OFFSET_C,
)
from models.facts.fresh import HEAVIEST_KG_M3
from models.piece.quantities import fluid_pressure_kPa
from models.units import number_within, one_of

CEMENTS = tuple(ACI_CC)


@dataclass(frozen=True)
class Placing:
    """How the mould is filled.

    placing_h : from its foot to its top [h]; concrete_C : as placed [degC]; None where not told
    cement : a key of ACI_CC; slump_mm : [mm], None where it flows; shaken : from outside, or by a
        vibrator deeper than 1.2 m, so that all of it is liquid again
    """

    placing_h: float | None = None
    concrete_C: float | None = None
    cement: str = "plain"
    slump_mm: float | None = None
    shaken: bool = True
    density_kg_m3: float = HEAVIEST_KG_M3

    def __post_init__(self) -> None:
        if self.placing_h is not None:
            number_within("placing_h", self.placing_h, 0.01, 24.0, "h")
        if self.concrete_C is not None:
            number_within("concrete_C", self.concrete_C, 1.0, 50.0, "degC")
        if self.slump_mm is not None:
            number_within("slump_mm", self.slump_mm, 0.0, 300.0, "mm")
        one_of("cement", self.cement, CEMENTS)
        number_within("density_kg_m3", self.density_kg_m3, 500.0, 3000.0, "kg/m3")


@dataclass(frozen=True)
class Pressure:
    """The most that presses at any depth [kPa], and the rule it is of: full_head | aci_347."""

    most_kPa: float
    rule: str


def pressing_kg_m3(density_kg_m3: float) -> float:
    """Density that a mix is taken to press with [kg/m3]: its own, no less than the usual heaviest.

    density_kg_m3 : of the mix [kg/m3]. Source: COMMON_PRACTICE.
    """
    return max(HEAVIEST_KG_M3, density_kg_m3)


def unit_weight_coefficient(density_kg_m3: float) -> float:
    """Cw of the rate formulas, dimensionless. Source: ACI_347_COEFFICIENTS.

    density_kg_m3 : [kg/m3], above 0
    """
    if density_kg_m3 < ACI_LIGHT_KG_M3:
        return max(ACI_LEAST_CW, 0.5 * (1 + density_kg_m3 / ACI_REF_KG_M3))
    return 1.0 if density_kg_m3 <= ACI_HEAVY_KG_M3 else density_kg_m3 / ACI_REF_KG_M3


def aci_347_kPa(
    height_m: float, rate_m_h: float, concrete_C: float, density_kg_m3: float, cement: str = "plain"
) -> float:
    """Most lateral pressure on a wall by the rate formula that holds for it, else the head [kPa].

    Cw Cc (7.2 + 785 R / (T + 17.8)), for R under 2.1 m/h and walls up to 4.2 m; with 1156 and 244 R
    for higher ones and up to 4.5 m/h. Not under 30 Cw, not over the full head.

    height_m : [m]; rate_m_h : rise of the mix [m/h]; concrete_C : [degC]; density_kg_m3 : [kg/m3]
    Source: ACI_347_PRESSURE, ACI_347_COEFFICIENTS.
    """
    head = float(fluid_pressure_kPa(height_m, density_kg_m3))
    first = rate_m_h <= ACI_RATE_M_H and height_m <= ACI_HEIGHT_M
    if not first and rate_m_h > ACI_SECOND_RATE_M_H:
        return head
    weight, warm = unit_weight_coefficient(density_kg_m3), concrete_C + ACI_C
    part = ACI_B * rate_m_h if first else ACI_SECOND_B + ACI_SECOND_R * rate_m_h
    formula = weight * ACI_CC[cement] * (ACI_A_KPA + part / warm)
    return min(head, max(formula, ACI_LEAST_KPA * weight))


def ciria_108_kPa(
    height_m: float, rate_m_h: float, concrete_C: float, density_kg_m3: float, cement: str = "plain"
) -> float:
    """Most lateral pressure on a wall [kPa]: D (C1 sqrt R + C2 K sqrt(H - C1 sqrt R)), at most D H.

    height_m : [m]; rate_m_h : [m/h]; concrete_C : [degC]; density_kg_m3 : [kg/m3]
    Source: CIRIA_108.
    """
    head = float(fluid_pressure_kPa(height_m, density_kg_m3))
    risen = CIRIA_C1 * float(rate_m_h) ** 0.5
    if risen >= height_m:
        return head
    K = (CIRIA_K_C / (concrete_C + CIRIA_OFFSET_C)) ** 2
    deeper = CIRIA_C2[cement] * K * float(height_m - risen) ** 0.5
    return min(head, head / height_m * float(risen + deeper))


def pressure_of(height_m: float, placing: Placing) -> Pressure:
    """What presses a wall of fresh mix: the larger of both rate formulas where both hold, at most
    the full head, which is taken wherever rate, warmth or slump is not told, and of a mix that
    flows or is shaken.

    height_m : of the mix that is still fresh [m]
    Source: ACI_347_PRESSURE, CIRIA_108.
    """
    head = float(fluid_pressure_kPa(height_m, placing.density_kg_m3))
    told = placing.placing_h is not None and placing.concrete_C is not None
    stiff = placing.slump_mm is not None and placing.slump_mm <= ACI_SLUMP_MM
    if not told or not stiff or placing.shaken:
        return Pressure(head, "full_head")
    assert placing.placing_h is not None
    assert placing.concrete_C is not None
    asked = (height_m, height_m / placing.placing_h, placing.concrete_C, placing.density_kg_m3)
    slow = max(aci_347_kPa(*asked, placing.cement), ciria_108_kPa(*asked, placing.cement))
    return Pressure(head, "full_head") if slow >= head else Pressure(slow, "aci_347")
