"""Does each wall of a mould hold the fresh mix, and what would make it hold."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from models.errors import InputError
from models.facts.boards import BENDING
from models.facts.formwork import (
    LOAD_FACTOR,
    MOST_BOW_MM,
    MOST_OF_SPAN,
    SCREW_SPACING_MM,
    SOLD_MM,
)
from models.mould import screws
from models.mould.board import Members, members
from models.mould.panels import Panel
from models.mould.plate import Load, bent, strip_bow
from models.mould.pressure import Placing, Pressure, pressure_of
from models.mould.screws import Screw
from models.piece.quantities import fluid_pressure_kPa
from models.quantile import quantiles
from models.units import Array, number_within

STATES = ("holds", "bows", "breaks")
BREAKS = 0.05  # of the members, from which on a wall counts as breaking
LEAST_LIFT_MM, LEAST_SPAN_MM, STEP_MM = 50.0, 50.0, 10.0
WIDEST_MM = 300.0  # screws stand no farther apart
LEAST_SCREWS_MM = 10.0  # nor nearer, whatever their edge bears


@dataclass(frozen=True)
class Built:
    """How a mould is built.

    brace_spacing_mm : of what backs its walls upright, ribs or clamps; None: only the corners do
    rim_held : whether its top edge is held too, by a strap or cross pieces
    """

    material: str
    thickness_mm: float
    brace_spacing_mm: float | None = None
    rim_held: bool = False
    screw: Screw = Screw()
    screw_spacing_mm: float | None = None

    def __post_init__(self) -> None:
        if self.material not in BENDING or not BENDING[self.material].sheet:
            allowed = "one of " + " | ".join(key for key, one in BENDING.items() if one.sheet)
            raise InputError("material", self.material, "no wall that stands by itself", allowed)
        number_within("thickness_mm", self.thickness_mm, 1.0, 150.0, "mm")
        if self.brace_spacing_mm is not None:
            number_within("brace_spacing_mm", self.brace_spacing_mm, 50.0, 6000.0, "mm")
        if self.screw_spacing_mm is not None:
            number_within("screw_spacing_mm", self.screw_spacing_mm, LEAST_SCREWS_MM, 1000.0, "mm")


@dataclass(frozen=True)
class Screwed:
    """The screws of a wall.

    held_N : what one may be counted on [N]; corner_N, foot_N_mm : what pulls at a corner, at a mm
        of foot; number : at a corner; spacing_mm, foot_spacing_mm : the widest, at the corner near
        its foot and along the foot; holds : whether those told, or the usual ones, are near enough
    """

    held_N: float
    corner_N: float
    foot_N_mm: float
    number: int
    spacing_mm: float
    foot_spacing_mm: float
    holds: bool


@dataclass(frozen=True)
class Holds:
    """What would make a wall hold; None where nothing of it does.

    brace_spacing_mm : widest; thickness_mm : thinnest that is sold; lift_mm : deepest fresh at once
    screw_spacing_mm : how near the screws have to be besides; None where those there are hold
    """

    brace_spacing_mm: float | None
    thickness_mm: float | None
    lift_mm: float | None
    screw_spacing_mm: float | None


@dataclass(frozen=True)
class Wall:
    """One panel and its verdict.

    bay_mm : between its upright supports; span_mm : the shorter way, where its rim is held too
    foot_kPa : pressure at its foot; force_N : on all of it; foot : simple | clamped
    bow_mm : 10, 50 and 90 % of boards; strip_mm : of a strip across the span at the foot, a bound
    stress_MPa : half of boards; strength_MPa : which 19 of 20 have; breaks : chance
    corner_N : pulls at each of its corners; none at those of a core, which is pressed together
    """

    panel: Panel
    state: str
    bay_mm: float
    span_mm: float
    foot_kPa: float
    force_N: float
    foot: str
    bow_mm: tuple[float, float, float]
    strip_mm: float
    allowed_mm: float
    stress_MPa: float
    strength_MPa: float
    breaks: float
    corner_N: float
    screwed: Screwed | None
    would: Holds | None


def allowed_mm(span_mm: float) -> float:
    """How far a wall may bow before its face shows it [mm]: span / 360, 1.5 mm at the most.

    span_mm : [mm]. Source: FORMWORK_PEURIFOY.
    """
    return min(span_mm * MOST_OF_SPAN, MOST_BOW_MM)


def loads(panel: Panel, fresh_mm: float, placing: Placing) -> tuple[Load, ...]:
    """How a wall is pressed: by all of the mix, or by the lowest and by the highest lift.

    fresh_mm : of what is fresh at once [mm]
    """
    deep = panel.deep_mm
    fresh = min(fresh_mm, deep)
    most = pressure_of(fresh / 1e3, placing).most_kPa
    growth = float(fluid_pressure_kPa(1.0, placing.density_kg_m3)) / 1e3
    lowest = Load(0.0, fresh, growth, most)
    if fresh >= deep or deep - fresh >= panel.height_mm:
        return (lowest,)
    return (lowest, Load(deep - fresh, deep, growth, most))


@dataclass(frozen=True)
class _Case:
    """A wall under one way to build it."""

    panel: Panel
    built: Built
    placing: Placing
    fresh_mm: float

    @property
    def span_mm(self) -> float:
        along = min(self.built.brace_spacing_mm or self.panel.length_mm, self.panel.length_mm)
        return min(along, self.panel.height_mm) if self.built.rim_held else along

    @property
    def along_mm(self) -> float:
        return min(self.built.brace_spacing_mm or self.panel.length_mm, self.panel.length_mm)

    @property
    def loads(self) -> tuple[Load, ...]:
        return loads(self.panel, self.fresh_mm, self.placing)

    @property
    def line_N_mm(self) -> float:
        """Force on a mm of its length [N/mm]."""
        return max(load.force_N_mm(self.panel.height_mm) for load in self.loads)

    @property
    def corner_N(self) -> float:
        """What pulls at a corner, half of the span beside it [N]. Source: statics."""
        return self.line_N_mm * self.along_mm / 2

    @property
    def foot(self) -> str:
        """Clamped where the screws from below bear what would tip the wall over, else a hinge.

        They pull at half of the board's thickness, once every spacing. Source: statics.
        """
        held = screws.counted_N(self.built.material, self.built.thickness_mm, self.built.screw)
        if held is None:
            return "simple"
        tips = max(load.tips_N(self.panel.height_mm) for load in self.loads)
        spacing = self.built.screw_spacing_mm or SCREW_SPACING_MM
        bears = held * self.built.thickness_mm / 2 / spacing
        return "clamped" if tips <= bears else "simple"

    def bow_times_stiffness(self) -> tuple[float, float]:
        """The most of bow [N mm2] and moment [N] over its loads."""
        top = "simple" if self.built.rim_held else "free"
        each = [
            bent(self.along_mm, self.panel.height_mm, load, self.foot, top) for load in self.loads
        ]
        return max(one.most for one in each), max(one.moment_N for one in each)

    def judged(self, board: Members) -> tuple[str, Array, Array, float]:
        """State, bow [mm] and stress [MPa] by member, chance that it breaks."""
        bow, moment = self.bow_times_stiffness()
        bows, stress = bow / board.D_N_mm, 6 * moment / board.thickness_mm**2
        breaks = float((LOAD_FACTOR * stress > board.strength_MPa).mean())
        if breaks > BREAKS:
            return "breaks", bows, stress, breaks
        late = float(quantiles(bows, (0.9,))[0])
        return ("holds" if late <= allowed_mm(self.span_mm) else "bows"), bows, stress, breaks


def wall(panel: Panel, built: Built, placing: Placing, fresh_mm: float) -> Wall:
    """The verdict on one panel: it holds where the bow of 9 boards in 10 stays within what is
    allowed and fewer than 1 in 20 would break under 1.5 times the load.

    fresh_mm : depth of the mix that is fresh at once [mm]
    Source: TIMOSHENKO_PLATES, FORMWORK_PEURIFOY, EN_1995_1_1; OWN_JUDGEMENT for the chances.
    """
    case = _Case(panel, built, placing, fresh_mm)
    board = members(built.material, built.thickness_mm)
    state, bows, stress, breaks = case.judged(board)
    low, middle, high = (float(one) for one in quantiles(bows, (0.1, 0.5, 0.9)))
    screwed = None if panel.inward else _screwed(case)
    let_go = screwed is not None and not screwed.holds
    pressure = most_pressure(panel, placing, fresh_mm)
    strip = strip_bow(case.span_mm, pressure.most_kPa) / float(np.median(board.D_N_mm))
    found = Wall(
        panel=panel,
        state=state,
        bay_mm=case.along_mm,
        span_mm=case.span_mm,
        foot_kPa=pressure.most_kPa,
        force_N=case.line_N_mm * panel.length_mm,
        foot=case.foot,
        bow_mm=(low, middle, high),
        strip_mm=strip,
        allowed_mm=allowed_mm(case.span_mm),
        stress_MPa=float(np.median(stress)),
        strength_MPa=float(quantiles(board.strength_MPa, (0.05,))[0]),
        breaks=breaks,
        corner_N=0.0 if panel.inward else case.corner_N,
        screwed=screwed,
        would=_would(case, state) if state != "holds" or let_go else None,
    )
    return found


def most_pressure(panel: Panel, placing: Placing, fresh_mm: float) -> Pressure:
    """What presses the foot of a panel, or of its lift."""
    return pressure_of(min(fresh_mm, panel.deep_mm) / 1e3, placing)


def _screwed(case: _Case) -> Screwed | None:
    """Screws by strips: a corner bears half the span beside it, the foot all that presses a mm.

    They are taken to pull out, which holds less than it does across them. Source: statics.
    """
    built = case.built
    held = screws.counted_N(built.material, built.thickness_mm, built.screw)
    if held is None:
        return None
    line = case.line_N_mm
    deepest = max(float(load.at(np.array([load.foot_mm]))[0]) for load in case.loads) / 1e3
    near = min(screws.spacing_mm(held, deepest * case.along_mm / 2), WIDEST_MM)
    foot = min(screws.spacing_mm(held, line), WIDEST_MM)
    number = screws.needed(held, case.corner_N)
    widest = min(near, foot)
    told = built.screw_spacing_mm or SCREW_SPACING_MM
    holds = widest >= screws.least_spacing_mm(built.screw) and told <= widest
    return Screwed(held, case.corner_N, line, number, math.floor(near), math.floor(foot), holds)


def _would(case: _Case, state: str) -> Holds:
    """What would hold: the board, its screws as near as that asks; where the screws alone let go,
    what would hold on them as they are."""
    lower = min(case.fresh_mm, case.panel.deep_mm) - STEP_MM
    longest = case.built.screw.length_mm - 3 * case.built.screw.diameter_mm
    thicker = (mm for mm in SOLD_MM if case.built.thickness_mm < mm <= longest)

    def screwed(case: _Case) -> _Case:
        return case if state == "holds" else _near_enough(case)

    def braced(mm: float) -> _Case:
        return screwed(replace(case, built=replace(case.built, brace_spacing_mm=mm)))

    def of(mm: float) -> _Case:
        return screwed(replace(case, built=replace(case.built, thickness_mm=mm)))

    def poured(mm: float) -> _Case:
        return screwed(replace(case, fresh_mm=mm))

    brace = _widest(lambda mm: _holds(braced(mm)), LEAST_SPAN_MM, case.along_mm - STEP_MM)
    thickness = next((mm for mm in thicker if _holds(of(mm))), None)
    lift = _widest(lambda mm: _holds(poured(mm)), LEAST_LIFT_MM, lower)
    ways = ((braced, brace), (of, thickness), (poured, lift))
    found = [way(mm).built.screw_spacing_mm for way, mm in ways if mm is not None]
    apart = min((mm for mm in found if mm is not None), default=None)
    return Holds(brace, thickness, lift, None if apart == case.built.screw_spacing_mm else apart)


def _near_enough(case: _Case) -> _Case:
    """With its screws as near as they have to be, where those there are stand too far apart."""
    screwed = None if case.panel.inward else _screwed(case)
    if screwed is None or screwed.holds:
        return case
    near = max(min(screwed.spacing_mm, screwed.foot_spacing_mm), LEAST_SCREWS_MM)
    return replace(case, built=replace(case.built, screw_spacing_mm=float(near)))


def _holds(case: _Case) -> bool:
    screwed = None if case.panel.inward else _screwed(case)
    board = members(case.built.material, case.built.thickness_mm)
    return (screwed is None or screwed.holds) and case.judged(board)[0] == "holds"


def _widest(holds: Callable[[float], bool], least: float, most: float) -> float | None:
    """The widest in whole centimetres that holds, by halving; None where the least does not."""
    low, high = math.ceil(least / STEP_MM), math.floor(most / STEP_MM)
    if high < low or not holds(low * STEP_MM):
        return None
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if holds(middle * STEP_MM) else (low, middle - 1)
    return low * STEP_MM
