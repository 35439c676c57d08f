"""Pore humidity through the section while it dries: checks its input, calls the kernel."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from models.concrete import _moisture_kernel, _moisture_stages, _moisture_state, moisture_laws
from models.concrete._moisture_state import Hours, Record, Section
from models.errors import InputError
from models.facts import moisture as facts
from models.units import Array, Limits, arrays_within, within

CELLS = 16  # tests/bench/bench_moisture.py says what they cost and miss
GROWTH = 1.3  # of the cells from each face inwards
LAW_LIMITS: Limits = {
    "D1_mm2_d": (0.1, 1e3, "mm2/d"),
    "alpha": (1e-3, 1.0, ""),
    "hc": (0.5, 0.9, ""),
    "Q_R_K": (0.0, 1e4, "K"),
    "surface_mm": (0.0, 50.0, "mm"),
    "sorption_factor": (0.2, 3.0, ""),
    "sorptivity": (0.0, 1.0, "mm/min^0.5"),
}
HOUR_LIMITS: Limits = {
    "temperature_C": (-40.0, 95.0, "degC"),
    "top_wet_mm": (0.0, facts.PLENTY_MM, "mm"),
    "low_wet_mm": (0.0, facts.PLENTY_MM, "mm"),
}
FACE_LIMITS: Limits = {"top_rh": (0.0, 1.0, ""), "low_rh": (0.0, 1.0, "")}
DROP_LIMITS: Limits = {"hydration_drop": (0.0, 0.5, "")}


@dataclass(frozen=True)
class Law:
    """Diffusion law and sorption of each member: (members,) arrays; n, w/c, cement one for all.

    D1_mm2_d : [mm2/d] diffusivity at saturation and 20 degC, 0.1 to 1000
    alpha, hc : dimensionless, 0.001 to 1 and 0.5 to 0.9; Q_R_K : [K], 0 to 10000
    surface_mm : [mm] of moist concrete that a face to air counts for, 0 to 50
    sorption_factor : dimensionless, 0.2 to 3, on the moisture by mass
    sorptivity : [mm/min^0.5] of water taken up by a dry face, 0 to 1; None: the usual one
    water_cement : dimensionless, 0.2 to 0.9, for the shape of the sorption curve
    cement_kg_m3 : [kg/m3], 50 to 1500, by which the water weighs
    """

    D1_mm2_d: Array
    alpha: Array
    hc: Array
    Q_R_K: Array
    surface_mm: Array
    sorption_factor: Array
    n: int = facts.N
    sorptivity: Array | None = None
    water_cement: float = facts.SORPTION_WATER_CEMENT
    cement_kg_m3: float = facts.SORPTION_CEMENT_KG_M3


@dataclass(frozen=True)
class Conditions:
    """What the section meets in each hour from placing: (hours, members).

    top_rh, low_rh : dimensionless humidity at the faces, 1 while wet, NaN under mould or film
    temperature_C : [degC] of the concrete, -40 to 95
    hydration_drop : dimensionless, (hours + 1, members), pore humidity lost to hydration if sealed
    top_wet_mm, low_wet_mm : [mm] of water on a face in the hour, rain or washing; where it is above
        0 suction takes of it and the face gives nothing off. None: never
    """

    top_rh: Array
    low_rh: Array
    temperature_C: Array
    hydration_drop: Array
    top_wet_mm: Array | None = None
    low_wet_mm: Array | None = None


@dataclass(frozen=True)
class Dried:
    """Hourly from placing: hour (rows,), the rest (rows, members); humidities dimensionless.

    probe_rh : wettest of the test depths; tilt_rh : lower face over upper, of a straight line
    lost_kg_m2 : [kg/m2] water given to the air (below 0: taken up); by_mass_pct : [%] moisture
        of a concrete with 330 kg of cement in a cubic metre, of which limits by mass are told
    outflow_mm : [mm] of section fallen from 1 to 0, the balance of the diffusion equation
    soaked_kg_m2 : [kg/m2] water taken in by suction since placing, no part of that balance
    """

    hour: Array
    mean_rh: Array
    probe_rh: Array
    top_rh: Array
    low_rh: Array
    lost_kg_m2: Array
    by_mass_pct: Array
    tilt_rh: Array
    outflow_mm: Array
    soaked_kg_m2: Array
    profile: Array  # (rows kept, cells, members)


def drying(
    thickness_mm: float,
    law: Law,
    conditions: Conditions,
    *,
    start_rh: float = 1.0,
    profile: Array | None = None,
    row_h: float = 1.0,
    density_kg_m3: float = 2300.0,
    probes: tuple[float, ...] = (facts.DEPTH_TWO_FACES, 1 - facts.DEPTH_TWO_FACES),
    keep: tuple[int, ...] = (),
    cells: int = CELLS,
    steps_per_hour: int = 1,
) -> Dried:
    """Pore humidity of the section, hourly from placing.

    dh/dt = d/dx(D(h) dh/dx) - self-desiccation; finite volumes, finer at the faces, implicit Euler
    with the law's exact mean of D between two cells; a step errs by half of it in time. A face to
    air meets its humidity through surface_mm of concrete, a wet one (1) water itself; a closed face
    lets nothing through. Where water lies on a face a sharp wet front runs in at the sorptivity,
    slower in what is damp already, and never with more than the water that lies there.
    Cement takes water only while h is over 0.75. Water given off follows the sorption curve.

    thickness_mm : [mm], 5 to 3000; start_rh dimensionless, 0.05 to 1; density [kg/m3]
    profile : (cells, members) from which it goes on, sealed at start_rh before; None: start_rh
    row_h : [h] between two rows of the conditions and of what is returned, 0.01 to 24
    probes : depths of test holes as shares of the thickness from the top, 0 to 1
    keep : hours whose profile is wanted; cells : even, 4 to 200; steps_per_hour : 1 to 1000

    Raises InputError outside the ranges and where arrays do not fit.
    Source: BAZANT_NAJJAR_1972; CEB_FIP_1990; BRANZ_SORPTION; for suction NEVILLE_1996, HALL_1989.
    """
    L = float(within("thickness_mm", thickness_mm, 5.0, 3000.0, "mm"))
    hours, members = _checked(law, conditions)
    within("start_rh", start_rh, 0.05, 1.0)
    within("row_h", row_h, 0.01, 24.0, "h")
    within("density_kg_m3", density_kg_m3, 500.0, 4000.0, "kg/m3")
    within("probes", probes, 0.0, 1.0)
    within("cells", cells, 4, 200)
    within("steps_per_hour", steps_per_hour, 1, 1000)
    within("keep", keep, 0, hours, "h")
    width = _widths(L, cells)
    middle = np.cumsum(width) - 0.5 * width
    gap = np.concatenate((width[:1] / 2, np.diff(middle), width[-1:] / 2))
    place = np.interp(np.array(probes) * L, middle, np.arange(float(cells)))
    cell = np.minimum(np.floor(place), cells - 2)
    profile_rows = np.full(hours + 1, -1.0)
    profile_rows[list(keep)] = np.arange(len(keep))
    D1 = law.D1_mm2_d / 24 * moisture_laws.temperature_factor(conditions.temperature_C, law.Q_R_K)
    begins = np.full((cells, members), float(start_rh)) if profile is None else profile
    within("profile", begins, 0.0, 1.0 + 1e-9)  # rounding
    within("law.cement_kg_m3", law.cement_kg_m3, 50.0, 1500.0, "kg/m3")
    held = law.sorption_factor * law.cement_kg_m3 / facts.SORPTION_CEMENT_KG_M3
    kg_m2_mm = held * density_kg_m3 / 1e5  # of one per cent in a millimetre
    histories = [np.empty((hours + 1, members)) for _ in range(9)]
    out = Record(*(*histories, np.empty((len(keep), cells, members)), profile_rows))
    _moisture_kernel.sweep(
        0,
        members,
        int(steps_per_hour),
        Section(np.ones(cells + 1), width, gap, middle / L - 0.5, cell, place - cell),
        Hours(
            D1 * row_h,
            np.diff(conditions.hydration_drop, axis=0),
            start_rh - conditions.hydration_drop[1:],
            np.ascontiguousarray(conditions.top_rh),
            np.ascontiguousarray(conditions.low_rh),
            _wet(conditions.top_wet_mm, D1.shape),
            _wet(conditions.low_wet_mm, D1.shape),
        ),
        _moisture_state.Law(
            law.alpha,
            law.hc,
            law.surface_mm,
            _pull(law, kg_m2_mm) * row_h,
            kg_m2_mm,
            np.ascontiguousarray(begins, dtype=np.float64),
            shape_table(law.n),
            moisture_laws.sorption_table(law.water_cement),
            facts.HYDRATION_STOPS_RH,
        ),
        out,
    )
    with_bound = out.with_bound_pct
    return Dried(
        row_h * np.arange(hours + 1.0),
        out.mean_rh,
        out.probe_rh,
        out.top_rh,
        out.low_rh,
        (with_bound[0] - with_bound) * kg_m2_mm * L,
        out.by_mass_pct * law.sorption_factor,
        out.tilt_rh,
        out.outflow,
        out.soaked_kg_m2,
        out.profile,
    )


def _pull(law: Law, kg_m2_mm: Array) -> Array:
    """What suction moves through a millimetre of wet section [kg mm/m2h], (members,).

    Of a sharp front: the square of the sorptivity over twice the room of the dry concrete it was
    measured on. Source: HALL_1989.
    """
    usual = np.full(len(kg_m2_mm), float(moisture_laws.sorptivity(facts.USUAL_WATER_CEMENT)))
    S = usual if law.sorptivity is None else law.sorptivity
    full, dried = moisture_laws.moisture_pct([1.0, facts.SORPTIVITY_RH], law.water_cement)
    room = kg_m2_mm * (full - dried)
    pull: Array = 60.0 * S**2 / (2.0 * room)
    return pull


def _wet(water_mm: Array | None, shape: tuple[int, ...]) -> Array:
    return np.zeros(shape) if water_mm is None else np.ascontiguousarray(water_mm, dtype=np.float64)


@lru_cache
def shape_table(n: int) -> Array:
    """Integral of 1 / (1 + u^n) from 0 on, 512 to the unit, dimensionless.

    n : 1 to 20
    Source: BAZANT_NAJJAR_1972 (the law); Simpson's rule.
    """
    largest = moisture_laws.LARGEST_DRYNESS
    fine = np.linspace(0.0, largest, int(largest * _moisture_stages.TABLE_PER_UNIT) * 2 + 1)
    value = moisture_laws.diffusivity_fraction(fine, alpha=0.0, n=n)
    part = (value[:-2:2] + 4 * value[1:-1:2] + value[2::2]) * (fine[2] - fine[0]) / 6
    return np.concatenate(([0.0], np.cumsum(part)))


def _widths(L: float, cells: int) -> Array:
    """Cells that grow from both faces to the middle, evened out where there are many [mm]."""
    half = int(cells) // 2
    growth = GROWTH ** (CELLS / 2 / half)
    up = growth ** np.arange(half)
    both = np.concatenate((up, up[::-1]))
    widths: Array = both * L / both.sum()
    return widths


def _checked(law: Law, conditions: Conditions) -> tuple[int, int]:
    """Hours and members; refuses what is not physics, naming the array and the range."""
    hours, members = conditions.top_rh.shape
    within("hours", hours, 1, 20000, "h")
    arrays_within("law", law, LAW_LIMITS, (members,))
    arrays_within("conditions", conditions, HOUR_LIMITS, (hours, members))
    arrays_within("conditions", conditions, FACE_LIMITS, (hours, members), gaps=True)
    arrays_within("conditions", conditions, DROP_LIMITS, (hours + 1, members))
    if (np.diff(conditions.hydration_drop, axis=0) < 0).any():
        raise InputError(
            "conditions.hydration_drop", "falling", "hydration does not go back", "rising"
        )
    return hours, members
