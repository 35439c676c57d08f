"""A mould and the piece that is cast in it: every wall, its base, and what floats."""

from dataclasses import dataclass

from models.concrete.section import MouldBoard
from models.facts.boards import BENDING
from models.facts.formwork import (
    MOST_BOW_MM,
    MOST_OF_SPAN,
    SCREW_DIAMETER_MM,
    SCREW_LENGTH_MM,
)
from models.mould import uplift
from models.mould.board import members
from models.mould.panels import Panel, Pressed, pressed
from models.mould.pressure import Placing, Pressure, aci_347_kPa, ciria_108_kPa, pressure_of
from models.mould.screws import Screw
from models.mould.uplift import Uplift
from models.mould.walls import Built, Wall, loads, wall
from models.piece.quantities import fluid_pressure_kPa
from models.piece.shape import Shape
from models.quantile import quantiles

WORST = ("breaks", "screws", "unknown", "bows", "holds")


@dataclass(frozen=True)
class Checked:
    """What is said of a mould.

    state : the worst of its walls: breaks | screws | bows | holds; unknown of what is no
        board, whose walls are left out, and of what takes no screw, and of
        what was told by hand and is not as full as its outside
    pressure : at the foot; aci_kPa, ciria_kPa : what both rate formulas say, None where rate or
        warmth is not told; hoop_N : pull in a strap round a round wall [N], None where it is none
    bearer_mm : widest spacing of what carries the base
    assumed : what nobody told, by its key
    """

    board: MouldBoard
    built: Built | None
    pressed: Pressed
    placing: Placing
    pressure: Pressure
    aci_kPa: float | None
    ciria_kPa: float | None
    walls: tuple[Wall, ...]
    hoop_N: float | None
    bearer_mm: float | None
    uplifts: tuple[Uplift, ...]
    state: str
    assumed: tuple[str, ...]


def built_of(board: MouldBoard) -> Built:
    """How a mould is built, as it was told; screws as usual where none are, and long enough."""
    diameter = board.screw_diameter_mm or SCREW_DIAMETER_MM
    usual = max(SCREW_LENGTH_MM, board.thickness_mm + 3 * diameter)
    return Built(
        board.material,
        board.thickness_mm,
        board.brace_spacing_mm,
        board.rim_held,
        Screw(diameter, board.screw_length_mm or usual),
        board.screw_spacing_mm,
    )


def check(
    shape: Shape, board: MouldBoard, placing: Placing, fresh_mm: float | None = None
) -> Checked:
    """Every wall of the mould of a piece, and what floats in it.

    fresh_mm : of the depth that is fresh at once [mm]; None: all of it
    Raises InputError as `pressed`. Source: as each wall.
    """
    found = pressed(shape, fresh_mm)
    sheet = board.material in BENDING and BENDING[board.material].sheet
    built = built_of(board) if sheet else None
    walls: tuple[Wall, ...] = ()
    if built is not None:
        walls = tuple(wall(panel, built, placing, found.fresh_mm) for panel in found.panels)
    asked = None
    if placing.placing_h is not None and placing.concrete_C is not None:
        height = found.fresh_mm / 1e3
        asked = (height, height / placing.placing_h, placing.concrete_C, placing.density_kg_m3)
    names = ("brace_spacing_mm", "screw_spacing_mm", "screw_diameter_mm", "screw_length_mm")
    assumed = tuple(
        f"mould.{name}" for name in names if built is not None and getattr(board, name) is None
    )
    states = [state_of(one) for one in walls]
    if shape.kind == "by-hand" and any(one.part == "inner" for one in found.floats):
        states.append("unknown")  # walls inside its outline, which nobody told
    return Checked(
        board=board,
        built=built,
        pressed=found,
        placing=placing,
        pressure=pressure_of(found.fresh_mm / 1e3, placing),
        aci_kPa=None if asked is None else aci_347_kPa(*asked, placing.cement),
        ciria_kPa=None if asked is None else ciria_108_kPa(*asked, placing.cement),
        walls=walls,
        hoop_N=hoop_N(found, placing),
        bearer_mm=None
        if built is None
        else bearer_mm(built, found.depth_mm, placing.density_kg_m3),
        uplifts=tuple(
            uplift.of(one, built, placing.density_kg_m3, found.fresh_mm) for one in found.floats
        ),
        state=min(states, key=WORST.index, default="unknown"),
        assumed=assumed,
    )


def hoop_N(found: Pressed, placing: Placing) -> float | None:
    """Pull in a strap that holds all of a round wall [N]: force on a mm of it, times its radius.

    Source: statics of a thin ring.
    """
    if found.radius_mm is None:
        return None
    ring = Panel("side", 1, found.radius_mm, found.depth_mm)
    return found.radius_mm * max(
        load.force_N_mm(found.depth_mm) for load in loads(ring, found.fresh_mm, placing)
    )


def state_of(one: Wall) -> str:
    """Of a wall with its screws; unknown of one that would hold, but takes no screw: nobody told
    what holds its corners."""
    if one.state != "breaks" and one.screwed is not None and not one.screwed.holds:
        return "screws"
    if one.state == "holds" and one.corner_N > 0 and one.screwed is None:
        return "unknown"
    return one.state


def bearer_mm(built: Built, depth_mm: float, density_kg_m3: float) -> float:
    """Widest spacing of what carries the base board under the mix [mm], down to whole centimetres.

    A simple span that bows L / 360 or 1.5 mm in the weak one of ten boards.

    depth_mm : of the mix over it [mm]; density_kg_m3 : [kg/m3]
    Source: beam theory; FORMWORK_PEURIFOY.
    """
    weak = float(quantiles(members(built.material, built.thickness_mm).D_N_mm, (0.1,))[0])
    p = float(fluid_pressure_kPa(depth_mm / 1e3, density_kg_m3)) / 1e3
    stiff = 384 * weak / (5 * p)
    widest = min((stiff * MOST_OF_SPAN) ** (1 / 3), (stiff * MOST_BOW_MM) ** (1 / 4))
    return 10.0 * float(widest // 10.0)
