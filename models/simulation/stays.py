"""Where a piece stands hour by hour under a plan, and what warms or airs it there."""

from dataclasses import dataclass, replace

import numpy as np

from models.air import evaporation, place, psychrometrics, sky, sun
from models.air.members import AirMembers
from models.air.place import Site
from models.concrete import heat
from models.errors import InputError
from models.facts.materials import ABSORPTANCE, DAY_DEPTH_M, EMISSIVITY
from models.facts.sealers import FAN_M_S
from models.simulation.meant import INDOORS, PLACES
from models.simulation.plan import Plan, PlanEntry
from models.simulation.scenario import Scenario
from models.steps import registry
from models.units import Array, Index, Mask

ELECTRIC = "electric"  # heat that is only meant is taken so, and nothing else is proposed


@dataclass(frozen=True)
class Stay:
    """A place from an hour from placing on [h], as it is there, and whether a fan or a dehumidifier
    runs."""

    from_h: float
    site: Site
    fan: bool = False
    dries: bool = False

    @property
    def alike(self) -> "Stay":
        """The same at any hour."""
        return replace(self, from_h=0.0)


def exposure_of(felt: heat.Exposure, some: Mask | Index) -> heat.Exposure:
    """What some members feel, by a mask (members,) or by their places."""
    columns = {name: getattr(felt, name)[:, some] for name in heat.EXPOSED}
    return heat.Exposure(felt.before_h, **columns)


Felt = tuple[heat.Exposure, dict[str, Array]]  # and the air by the rows of a trajectory
Known = dict[Stay, Felt]  # places that were worked out already


def of_plan(scenario: Scenario, plan: Plan) -> tuple[Stay, ...]:
    """The stays of a piece after the place where it was poured, by the hour.

    A heater, a fan and a dehumidifier stay where they are when the piece is carried away.

    Raises InputError for a room that the shop does not have, and for heat where no walls are.
    """
    home = there = scenario.site
    stay = Stay(0.0, home)
    out: list[Stay] = []
    for act in plan.of_place:
        step = registry.base_of(act.step)
        if step in ("heat-on", "heat-off", "dry-on", "dry-off") and not there.is_room:
            raise InputError(
                _field(scenario, act, "step"),
                act.step,
                "no walls",
                "only in a room; elsewhere a heated enclosure as a cover",
            )
        if step in registry.CARRIES:
            there = _carried_to(scenario, act)
            stay = Stay(act.at_h, there)
        elif step in ("heat-on", "heat-off"):
            site = there if step == "heat-off" else _heated(there, act.heat)
            stay = replace(stay, from_h=act.at_h, site=site)
        elif step in ("dry-on", "dry-off"):
            stay = replace(stay, from_h=act.at_h, dries=step == "dry-on")
        else:
            stay = replace(stay, from_h=act.at_h, fan=step == "fan-on")
        out.append(stay)
    return tuple(out)


def _carried_to(scenario: Scenario, act: PlanEntry) -> Site:
    home, place = scenario.site, act.place
    if place is None:
        place = INDOORS if registry.base_of(act.step) == "carry-in" else home.kind
    if place == INDOORS:
        room = home if home.is_room else scenario.rules.indoors
        if room is None:
            kinds = " | ".join(kind for kind in PLACES if kind != INDOORS)
            raise InputError(
                _field(scenario, act, "place"),
                place,
                "the shop has told of no room of its own",
                f"one of {kinds}",
            )
        return room
    if place == home.kind and act.heat in (None, home.setpoint_C):
        return home
    heated = place == "heated room"
    return Site(
        place,
        home.latitude,
        home.longitude,
        home.timezone,
        setpoint_C=act.heat if heated else None,
        heater=ELECTRIC if heated else None,
    )


def _heated(room: Site, setpoint_C: float | None) -> Site:
    return replace(
        room, kind="heated room", setpoint_C=setpoint_C, heated_hours=None, heater=ELECTRIC
    )


def _field(scenario: Scenario, act: PlanEntry, name: str) -> str:
    """The key of an act in the plan as it was told."""
    told = (k for k, one in enumerate(scenario.plan) if one.step == act.step)
    return f"plan[{next(told, 0)}].{name}"


@dataclass(frozen=True)
class Body:
    """What of a piece meets the air: how it stands, its section, and its colour."""

    faces: str
    column: heat.Column
    colour: str = "grey"


@dataclass(frozen=True)
class Drawn:
    """What all members feel in any place; known : of places that were worked out already.

    rows : of the trajectory
    """

    outdoor: AirMembers
    body: Body
    rows: int
    known: Known

    def at(self, stay: Stay, before_h: float) -> Felt:
        """In one place; before_h : [h] of the exposure."""
        if stay.alike not in self.known:
            local = place.at_piece(stay.site, self.outdoor, faces=self.body.faces)
            if stay.dries:
                local = place.dried(local)
            if stay.fan:
                local = replace(local, wind_m_s=np.maximum(local.wind_m_s, FAN_M_S))
            self.known[stay.alike] = felt(local, before_h, self.rows, self.body)
        return self.known[stay.alike]


def joined(stays: tuple[Stay, ...], home: Site, here: Felt, drawn: Drawn) -> Felt:
    """What is felt in one place after the other; here : where it was poured, home."""
    exposed, air = here
    felt = {name: getattr(exposed, name).copy() for name in heat.EXPOSED}
    air = {name: values.copy() for name, values in air.items()}
    for stay in stays:
        back = stay.alike == Stay(0.0, home)  # with what was read beside it
        there, around = here if back else drawn.at(stay, exposed.before_h)
        for name, values in felt.items():
            row = int(np.ceil(exposed.before_h + stay.from_h))
            values[row:] = getattr(there, name)[row : len(values)]
        for name, values in air.items():
            row = int(np.ceil(stay.from_h))
            values[row:] = around[name][row:]
    return heat.Exposure(exposed.before_h, **felt), air


def felt(local: place.AtPiece, before_h: float, rows: int, body: Body) -> Felt:
    """What a piece feels of the air at its place, and that air hourly from placing on, with how
    much warmer its sunniest face is than the one it is judged by [K].

    before_h : [h] how long before placing the first row of the air lies; between hours straight

    Source: definition of linear interpolation; sun.warmer_K for the sunniest face.
    """
    exposed = exposure(local, before_h, body.colour)
    warmer_K = np.zeros_like(local.air_C)
    if body.faces != sun.LYING:
        more_W_m2 = ABSORPTANCE[body.colour] * (local.sunniest_W_m2 - local.sun_W_m2)
        thick_m, low_film = body.column.thickness_mm / 1e3, exposed.film_low
        if body.faces == sun.BLOCK:  # what it takes in by day stays near that face
            thick_m, low_film = min(thick_m, DAY_DEPTH_M), 0 * low_film
        of = body.column.k_W_mK, body.column.heat_capacity_J_m3K
        warmer_K = sun.warmer_K(more_W_m2, exposed.film_top, low_film, thick_m, *of)
    first = int(before_h)
    fraction, hours = before_h - first, slice(first, first + rows + 1)

    def at(values: Array) -> Array:
        if fraction == 0:
            return values[hours]
        after = values[first + 1 : first + rows + 2]
        return values[hours] * (1 - fraction) + after * fraction

    return exposed, {
        "air_C": at(local.air_C),
        "dew_point_C": at(local.dew_point_C),
        "rh": at(place.relative_humidity(local)),
        "wind_m_s": at(local.wind_m_s),
        "rain_mm": local.rain_mm[hours],
        "sun_W_m2": local.sunniest_W_m2[hours],
        "sunlit_K": at(warmer_K),
    }


def exposure(local: place.AtPiece, before_h: float, colour: str = "grey") -> heat.Exposure:
    """What a piece feels of the air at its place; row 0 is before_h hours before placing."""
    radiation = sky.radiative_coefficient(local.air_C, EMISSIVITY)
    convection = sky.convection(local.wind_m_s)
    film = convection + radiation
    drying = evaporation.drying_film(local.air_C, local.wind_m_s)
    low = sky.convection(0.5 * local.wind_m_s) + radiation
    return heat.Exposure(
        before_h,
        film,
        low,
        drying * evaporation.formula_doubt(local.air_C.shape[1]),
        place.sol_air(local, film, colour),
        local.air_C,
        psychrometrics.saturation_pressure(local.dew_point_C),
    )
