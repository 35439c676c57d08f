"""Boxes and basins as solids, faces, flat parts and edges."""

import math
from dataclasses import dataclass

from models.piece.measures import WALLS, Measures
from models.piece.part import Edge, Parts, Plate, areas_mm2, holes_in, through, ways_round_mm
from models.piece.placed import Placed, bowl_corner
from models.piece.solids import End, Solid, block


@dataclass(frozen=True)
class Bowl:
    """The hollow of a basin and, in a slab, the shell that hangs round it."""

    solids: tuple[Solid, ...]
    plates: tuple[Plate, ...]
    mouth_mm2: float
    inside_mm2: float
    floor_mm2: float
    drain_side_mm2: float
    under_mm2: float
    thick_mm: float


def _hollow(told: Measures, mouth: End, depth: float) -> tuple[list[Solid], float, float, float]:
    """A bowl from its mouth down to its drain: solids to take out, and its faces: walls, floor,
    sides of the drain [mm2]. The floor falls straight from the walls to the drain."""
    draft, slope, drain = (told.measured(n) for n in ("draft_mm", "slope_mm", "drain_mm"))
    low = mouth.at - depth
    foot = mouth.shrunk(draft, low + slope)
    walls = Solid(foot, mouth)
    solids, floor_mm2 = [walls.out], walls.area_mm2(foot)
    if slope:
        falling = Solid(End(low, foot.x, foot.y, drain, drain), foot)
        solids.append(falling.out)
        floor_mm2 = falling.skin_mm2 + drain**2
    sides = 0.0
    if drain:
        ends = [
            End(at, foot.x, foot.y, drain, drain) for at in (low - told.measured("floor_mm"), low)
        ]
        solids.append(Solid(ends[0], ends[1], round=True, hollow=True))
        floor_mm2 -= math.pi / 4 * drain**2
        sides = math.pi * drain * told.measured("floor_mm")
    return solids, walls.skin_mm2, floor_mm2, sides


def bowl_of_slab(told: Measures) -> Bowl:
    """The bowl that hangs in a slab, its shell as thick as its wall. Source: geometry."""
    t, wall, floor = (told.measured(name) for name in ("thickness_mm", "wall_mm", "floor_mm"))
    draft, depth = told.measured("draft_mm"), told.measured("bowl_depth_mm")
    a, b = told.measured("bowl_length_mm"), told.measured("bowl_width_mm")
    left, front = bowl_corner(told)
    foot = depth + floor - t  # the slab's underside over the foot of the bowl
    mouth = End(foot + t, left + a / 2, front + b / 2, a, b)
    out, inside, floor_mm2, drain_side = _hollow(told, mouth, depth)
    # the shell keeps its wall from the slab down to its foot, leaning as the bowl does
    lean = Solid(mouth.shrunk(draft, floor + told.measured("slope_mm")), mouth)
    shell = Solid(lean.end(0.0).shrunk(-wall, 0.0), lean.end(foot).shrunk(-wall, foot))
    drain = math.pi / 4 * told.measured("drain_mm") ** 2
    under = shell.skin_mm2 + shell.area_mm2(shell.low) - shell.area_mm2(shell.high) - drain
    inner = mouth.shrunk(draft, 0.0)
    thick = max(wall, floor + told.measured("slope_mm"))
    return Bowl(
        (shell, *out),
        (
            Plate("floor", inner.long, inner.wide, floor),
            *[Plate("wall", a, depth, wall)] * 2,
            *[Plate("wall", b, depth, wall)] * 2,
        ),
        a * b,
        inside,
        floor_mm2,
        drain_side,
        under,
        thick,
    )


def basin(told: Measures) -> Parts:
    """A bowl in a block, its floor falling to a drain. Source: geometry."""
    L, W, H = told.length_mm, told.width_mm, told.measured("height_mm")
    wall, floor, slope = (told.measured(n) for n in ("wall_mm", "floor_mm", "slope_mm"))
    whole = block((0.0, L), (0.0, W), (0.0, H))
    mouth = whole.high.shrunk(wall, H)
    out, inside, floor_mm2, drain_side = _hollow(told, mouth, H - floor)
    drain = math.pi / 4 * told.measured("drain_mm") ** 2
    faces = (
        ("sides", "side", whole.skin_mm2),
        ("inside", "side", inside),
        ("floor", "up", floor_mm2),
        ("openings", "side", drain_side),
        ("rim", "up", L * W - whole.area_mm2(mouth)),
        ("underside", "down", L * W - drain),
    )
    inner = mouth.shrunk(told.measured("draft_mm"), 0.0)
    plates = (
        Plate("floor", inner.long, inner.wide, floor),
        *[Plate("long wall", L, H, wall)] * 2,
        *[Plate("short wall", W, H, wall)] * 2,
    )
    edges = (Edge("rim", 2 * (mouth.long + mouth.wide), wall),)
    thick = max(floor + slope, wall + told.measured("draft_mm"))
    return Parts((whole, *out), faces, plates, edges, min(wall, floor), thick)


def box(told: Measures) -> Parts:
    """Four walls with or without a floor, a ledge, and openings. Source: geometry."""
    L, W, H = told.length_mm, told.width_mm, told.measured("height_mm")
    wall, taper = told.measured("wall_mm"), told.measured("taper_mm")
    floor = wall if told.floor_mm is None else told.floor_mm
    top = End(H, L / 2, W / 2, L, W)
    whole = Solid(top.shrunk(taper, 0.0), top)
    room = whole.slice(floor, H, wall)
    ledge = _ledge(told, room)
    bottom = holes_in(told)
    pierced = [(wall_key, one) for wall_key in WALLS for one in holes_in(told, wall_key)]
    in_walls = [one for _, one in pierced]
    slant = math.hypot(H, taper) / H
    gone = areas_mm2(in_walls) * slant
    inside = room.skin_mm2 - gone + (ledge.face_mm2 if ledge else 0.0)
    opening = ways_round_mm(in_walls) * wall + ways_round_mm(bottom) * floor
    under = whole.area_mm2(whole.low) - areas_mm2(bottom)
    faces = [
        ("sides", "side", whole.skin_mm2 - gone),
        ("inside", "side", inside),
        ("rim", "up", L * W - room.area_mm2(room.high)),
        ("openings", "side", opening),
    ]
    if floor:
        faces.append(("floor", "up", room.area_mm2(room.low) - areas_mm2(bottom)))
    else:
        under -= room.area_mm2(room.low)
    faces.append(("underside", "down", under))
    solids = [whole, room.out, *(ledge.solids if ledge else ()), *through(bottom, 0.0, floor)]
    solids += [_wall_hole(told, key, one) for key, one in pierced]
    plates = [
        Plate(
            "long wall" if along == max(L, W) else "short wall", along, H, wall, holes_in(told, key)
        )
        for key, along in (("front", L), ("back", L), ("left", W), ("right", W))
    ]
    if floor:
        plates.insert(0, Plate("floor", whole.low.long, whole.low.wide, floor, bottom))
    thin, thick = (min(wall, floor), max(wall, floor)) if floor else (wall, wall)
    if told.ledge_mm is not None:
        ledged = told.measured("ledge_thickness_mm")
        thin, thick = min(thin, ledged), max(thick, min(wall + told.ledge_mm, ledged))
    rim = 2 * (room.high.long + room.high.wide)
    return Parts(tuple(solids), tuple(faces), tuple(plates), (Edge("rim", rim, wall),), thin, thick)


@dataclass(frozen=True)
class _Ledge:
    solids: tuple[Solid, Solid]
    face_mm2: float  # its faces, less the wall that it covers


def _ledge(told: Measures, room: Solid) -> _Ledge | None:
    """A ledge all round the inside of a box."""
    if told.ledge_mm is None:
        return None
    high = told.measured("height_mm") - told.measured("ledge_down_mm")
    at = (high - told.measured("ledge_thickness_mm"), high)
    outer, inner = room.slice(*at), room.slice(*at, told.ledge_mm)
    flat = sum(
        outer.area_mm2(o) - inner.area_mm2(i)
        for o, i in zip(_ends(outer), _ends(inner), strict=True)
    )
    if at[0] <= room.low.at:  # it stands on the floor
        flat -= 2 * (outer.area_mm2(outer.low) - inner.area_mm2(inner.low))
    return _Ledge((outer, inner.out), inner.skin_mm2 - outer.skin_mm2 + flat)


def _ends(solid: Solid) -> tuple[End, End]:
    return solid.low, solid.high


def _wall_hole(told: Measures, wall: str, one: Placed) -> Solid:
    """An opening through one wall of a box, level, at the lean of its middle."""
    L, W, H = told.length_mm, told.width_mm, told.measured("height_mm")
    hole, thick = one.told, told.measured("wall_mm")
    up = one.y_mm + hole.width_mm / 2
    lean = told.measured("taper_mm") * (1 - up / H)
    deep = W if wall in ("front", "back") else L
    first = lean if wall in ("front", "left") else deep - lean - thick
    along = one.x_mm + hole.length_mm / 2
    sides = hole.length_mm, hole.width_mm, hole.corner_mm or 0.0
    ends = [End(at, along, up, *sides) for at in (first, first + thick)]
    axis = "y" if wall in ("front", "back") else "x"
    return Solid(ends[0], ends[1], hole.round, hollow=True, axis=axis)
