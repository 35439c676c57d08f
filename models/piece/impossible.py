"""Shapes that cannot be: each is refused by the two measures that clash."""

import math
from collections.abc import Iterator

from models.errors import InputError
from models.piece.measures import (
    ALLOWED,
    CASTS,
    DROP,
    DROP_SIDES,
    KINDS,
    LIMITS,
    MEASURED,
    NEEDED,
    OPENED,
    Measures,
    Opening,
)
from models.piece.placed import RIM_MM, Placed, Plain, bowl_corner, laid_out, rib_rows, wall_of
from models.piece.solids import ring
from models.units import number_within, one_of, optional_within

SPANS = {name: (low, high, unit) for name, low, high, unit in LIMITS}


def refuse_impossible(told: Measures) -> None:
    """Raises InputError for what is unknown, missing, of another kind, or clashes.

    Source: geometry.
    """
    one_of("shape", told.kind, KINDS)
    number_within("length_mm", told.length_mm, 50.0, 6000.0, "mm")
    number_within("width_mm", told.width_mm, 50.0, 6000.0, "mm")
    needed = NEEDED[told.kind]
    taken = (*needed, *ALLOWED.get(told.kind, ()), *MEASURED)
    for name, (low, high, unit) in SPANS.items():
        value = getattr(told, name)
        if value is None and name in needed:
            allowed = f"{low:g} to {high:g} {unit}".strip()
            raise InputError(name, None, f"a {told.kind} needs it", allowed)
        if value is not None and name not in taken:
            raise InputError(name, value, f"a {told.kind} has none", "nothing, or another shape")
    optional_within(told, LIMITS)
    if told.drop_sides is not None:
        one_of("drop_sides", told.drop_sides, DROP_SIDES)
        if told.kind != "panel":
            wrong = f"a {told.kind} has none"
            raise InputError("drop_sides", told.drop_sides, wrong, "nothing, or a panel")
    if told.cast_way is not None:
        standing = told.kind in ("l-shape", "u-shape", "steps")
        one_of("cast_way", told.cast_way, CASTS if standing else CASTS[:2])
    _hollows(told)
    _drop_edge(told)
    _bowl(told)
    _parts(told)
    _openings(told)
    _inserts(told)


def _inserts(told: Measures) -> None:
    """None is deeper than the piece is thick."""
    outer = [told.thickness_mm, told.height_mm, told.drop_edge_mm, told.thickest_part_mm]
    most = max(told.length_mm, told.width_mm, *(mm for mm in outer if mm is not None))
    if told.kind in ("panel", "round-panel", "ribbed-panel"):
        most = max(mm for mm in outer if mm is not None) + told.measured("rib_depth_mm")
    for k, one in enumerate(told.inserts):
        if one.depth_mm is not None and one.depth_mm >= most:
            wrong = f"comes out of the other side of {most:g} mm"
            raise InputError(f"insert[{k}].depth_mm", one.depth_mm, wrong, f"less than {most:g} mm")


def _less(told: Measures, name: str, total: float, whole: str, wrong: str, times: int = 1) -> None:
    """A measure, or several of it, that must leave something of another."""
    room = getattr(told, whole)
    if total >= room:
        most = (room - total) / times + getattr(told, name)
        allowed = f"less than {most:g} mm" if most > 0 else f"more {whole} than {room:g} mm"
        raise InputError(name, getattr(told, name), f"{wrong} ({whole} {room:g} mm)", allowed)


def _hollows(told: Measures) -> None:
    """Walls, floor, taper and ledge of a box or basin."""
    if told.kind not in ("box", "basin"):
        return
    wall, taper, floor = (told.measured(n) for n in ("wall_mm", "taper_mm", "floor_mm"))
    narrow = "length_mm" if told.length_mm < told.width_mm else "width_mm"
    _less(told, "wall_mm", 2 * wall, narrow, "the walls meet in the middle", 2)
    _less(told, "taper_mm", 2 * (wall + taper), narrow, "the walls meet at the foot", 2)
    _less(told, "floor_mm", floor, "height_mm", "leaves no room above it")
    if told.floor_mm is None:
        _less(told, "wall_mm", wall, "height_mm", "a floor as thick leaves no room above it")
    if told.kind == "basin":
        draft, slope = told.measured("draft_mm"), told.measured("slope_mm")
        _less(told, "draft_mm", 2 * (wall + draft), narrow, "the bowl closes at its floor", 2)
        _less(told, "slope_mm", floor + slope, "height_mm", "the floor rises over the rim")
        inner = min(told.length_mm, told.width_mm) - 2 * (wall + draft)
        _drain(told, inner)
        if 0 < floor < SPANS["wall_mm"][0]:
            raise InputError("floor_mm", floor, "outside the allowed range", "10 to 600 mm")
    if told.kind == "basin" and not floor:
        raise InputError("floor_mm", floor, "a basin has a floor", "10 to 600 mm")
    if told.kind == "box":
        _ledge(told, wall, taper)


def _ledge(told: Measures, wall: float, taper: float) -> None:
    names = ("ledge_mm", "ledge_thickness_mm", "ledge_down_mm")
    ledge, thick, down = (getattr(told, name) for name in names)
    if ledge is None and thick is None and down is None:
        return
    for name, value in zip(names, (ledge, thick, down), strict=True):
        if value is None:
            low, high, unit = SPANS[name]
            raise InputError(name, None, "a ledge needs it", f"{low:g} to {high:g} {unit}")
    room = min(told.length_mm, told.width_mm) - 2 * (wall + taper)
    if 2 * ledge >= room:
        wrong = f"the ledges meet in the middle (room inside {room:g} mm)"
        raise InputError("ledge_mm", ledge, wrong, f"less than {room / 2:g} mm")
    floor = wall if told.floor_mm is None else told.floor_mm
    deep = told.measured("height_mm") - floor
    if down + thick > deep:
        wrong = f"under it begins the floor (depth inside {deep:g} mm, ledge {thick:g} mm thick)"
        raise InputError("ledge_down_mm", down, wrong, f"at most {deep - thick:g} mm")


def _drain(told: Measures, inner: float) -> None:
    if told.drain_mm is not None and told.drain_mm >= inner:
        wrong = f"wider than the floor of the bowl ({inner:g} mm)"
        raise InputError("drain_mm", told.drain_mm, wrong, f"less than {inner:g} mm")


def _drop_edge(told: Measures) -> None:
    deep, wall = told.drop_edge_mm, told.drop_wall_mm
    if deep is None and wall is None and told.drop_sides is None:
        return
    for name, value in zip(DROP[:2], (deep, wall), strict=True):
        if value is None:
            low, high, unit = SPANS[name]
            raise InputError(name, None, "a drop edge needs it", f"{low:g} to {high:g} {unit}")
    assert deep is not None
    assert wall is not None
    thick = told.measured("thickness_mm")
    if deep <= thick:
        wrong = f"no deeper than the panel (thickness_mm {thick:g} mm)"
        raise InputError("drop_edge_mm", deep, wrong, f"more than {thick:g} mm")
    narrow = "length_mm" if told.length_mm < told.width_mm else "width_mm"
    _less(told, "drop_wall_mm", 2 * wall, narrow, "the edges meet in the middle", 2)


def _bowl(told: Measures) -> None:
    """The bowl of a slab: inside the slab, and deeper than it."""
    if told.kind != "slab-with-basin":
        return
    thick, depth, wall = (
        told.measured(name) for name in ("thickness_mm", "bowl_depth_mm", "wall_mm")
    )
    draft, slope = told.measured("draft_mm"), told.measured("slope_mm")
    if depth <= thick:
        wrong = f"no deeper than the slab (thickness_mm {thick:g} mm)"
        raise InputError("bowl_depth_mm", depth, wrong, f"more than {thick:g} mm")
    for name, whole, place in (
        ("bowl_length_mm", "length_mm", "bowl_left_mm"),
        ("bowl_width_mm", "width_mm", "bowl_front_mm"),
    ):
        size, room, beside = getattr(told, name), getattr(told, whole), getattr(told, place)
        _less(told, name, size + 2 * wall, whole, f"with two walls of {wall:g} mm too large")
        if beside is not None and not wall <= beside <= room - size - wall:
            wrong = f"puts the bowl of {size:g} mm and its walls past the slab of {room:g} mm"
            raise InputError(place, beside, wrong, f"{wall:g} to {room - size - wall:g} mm")
    narrow = min(told.measured("bowl_length_mm"), told.measured("bowl_width_mm"))
    if 2 * draft >= narrow:
        wrong = f"the bowl closes at its floor (its mouth is {narrow:g} mm)"
        raise InputError("draft_mm", draft, wrong, f"less than {narrow / 2:g} mm")
    if slope >= depth:
        wrong = f"the floor rises over the rim (bowl_depth_mm {depth:g} mm)"
        raise InputError("slope_mm", slope, wrong, f"less than {depth:g} mm")
    if not told.floor_mm:
        raise InputError("floor_mm", told.floor_mm, "a basin has a floor", "10 to 600 mm")
    _drain(told, narrow - 2 * draft)


def _parts(told: Measures) -> None:
    """Legs, ribs, and what is told by hand."""
    if told.kind in ("l-shape", "u-shape"):
        legs = 1 if told.kind == "l-shape" else 2
        _less(told, "thickness_mm", told.measured("thickness_mm"), "height_mm", "leaves no leg")
        wrong = "leaves nothing between the legs" if legs == 2 else "leaves nothing beside the leg"
        _less(told, "wall_mm", legs * told.measured("wall_mm"), "length_mm", wrong, legs)
    if told.kind == "ribbed-panel":
        ribs, each = int(told.measured("ribs")), told.measured("rib_mm")
        if ribs * each > told.width_mm:
            wrong = f"{ribs} ribs are wider than the panel (width_mm {told.width_mm:g} mm)"
            raise InputError("rib_mm", each, wrong, f"at most {told.width_mm / ribs:g} mm")
    if told.kind == "by-hand":
        thick = told.measured("thickest_part_mm")
        if told.measured("thinnest_part_mm") > thick:
            wrong = f"thicker than the thickest (thickest_part_mm {thick:g} mm)"
            raise InputError("thinnest_part_mm", told.thinnest_part_mm, wrong, f"at most {thick:g}")
        # untold it is as high as its thickest part, as deep as its mould is taken
        high = thick if told.height_mm is None else told.height_mm
        most = told.length_mm * told.width_mm * high / 1e6
        if told.measured("told_volume_l") > most:
            wrong = f"more than its outside measures hold ({most:g} l, height_mm {high:g} mm)"
            raise InputError("told_volume_l", told.told_volume_l, wrong, f"at most {most:g} l")


def _openings(told: Measures) -> None:
    if told.openings and told.kind not in OPENED:
        wrong = f"a {told.kind} has none"
        raise InputError("opening", len(told.openings), wrong, "openings for a panel or box only")
    for k, hole in enumerate(told.openings):
        _corner(hole, f"opening[{k}].corner_mm")
        with_wall = hole.wall is not None
        if with_wall and told.kind != "box":
            wrong = f"a {told.kind} has no walls"
            raise InputError(f"opening[{k}].wall", hole.wall, wrong, "a wall of a box, or nothing")
        if told.kind == "box" and not with_wall and told.floor_mm == 0:
            wrong = "this box has no floor to put it in (floor_mm 0 mm)"
            raise InputError(f"opening[{k}].wall", None, wrong, "front, back, left or right")
    for plate in _plates(told):
        _in_plate(plate)
        for one in plate.holes:
            _in_round(told, one)
            _off_ribs(told, one)
            _off_bowl(told, one)
            _off_ledge(told, one)
        _apart(plate)


def _corner(told: Opening, field: str) -> None:
    """Its corners are no rounder than it has room for."""
    if told.corner_mm is None:
        return
    name = "length_mm" if told.length_mm < told.width_mm else "width_mm"
    narrow = getattr(told, name)
    if told.round:
        wrong, allowed = "a round opening has no corners", 'nothing, or form = "rectangle"'
        raise InputError(field, told.corner_mm, wrong, allowed)
    if 2 * told.corner_mm > narrow:
        wrong = f"more than half of the opening ({name} {narrow:g} mm)"
        raise InputError(field, told.corner_mm, wrong, f"at most {narrow / 2:g} mm")


def _plates(told: Measures) -> Iterator[Plain]:
    """Every flat part that has openings, with its own openings laid out."""
    numbered = list(enumerate(told.openings))
    for wall in {hole.wall: None for hole in told.openings}:
        yield laid_out(wall_of(told, wall), [(k, h) for k, h in numbered if h.wall == wall])


def _in_plate(plate: Plain) -> None:
    """Each leaves concrete at both sides."""
    length, width = plate.length_mm, plate.width_mm
    upright = width > length
    for one in plate.holes:
        told, field = one.told, f"opening[{one.number}]."
        for name, place, whole, before, behind in (
            ("length_mm", "left_mm", length, plate.sides_mm, plate.sides_mm),
            ("width_mm", "front_mm", width, plate.front_mm, plate.back_mm),
        ):
            size, beside, most = getattr(told, name), getattr(told, place), whole - before - behind
            if size > most:
                left = f"{RIM_MM:g} mm of concrete at each side"
                if (before, behind) != (RIM_MM, RIM_MM):
                    left = f"{before:g} and {behind:g} mm of concrete beside it"
                raise InputError(
                    field + name,
                    size,
                    f"larger than the {plate.part} allows ({whole:g} mm)",
                    f"at most {most:g} mm, which leaves {left}",
                )
            if beside is not None and not before <= beside <= whole - size - behind:
                wrong = f"with {size:g} mm of opening it leaves too little of {whole:g} mm"
                allowed = f"{before:g} to {whole - size - behind:g} mm"
                raise InputError(field + place, beside, wrong, allowed)
        size, whole = (told.length_mm, length) if upright else (told.width_mm, width)
        if told.edge_mm is not None and told.edge_mm + size > whole:
            wrong = f"with {size:g} mm of opening it is past the {plate.part} of {whole:g} mm"
            allowed = f"at most {whole - size:g} mm"
            raise InputError(field + "edge_mm", told.edge_mm, wrong, allowed)


def _in_round(told: Measures, one: Placed) -> None:
    """Of a round panel it stays inside, with concrete all round."""
    if told.kind != "round-panel":
        return
    a, b = told.length_mm / 2, told.width_mm / 2
    for x, y in ring(one.end(0.0), one.told.round):
        away, reach = math.hypot(x - a, y - b), math.hypot((x - a) / a, (y - b) / b)
        edge = away / reach if reach else min(a, b)
        if away > edge - RIM_MM + 1e-9:
            size = max(one.told.length_mm, one.told.width_mm)
            raise InputError(
                f"opening[{one.number}].length_mm",
                size,
                f"reaches {away:.0f} mm from the middle, where the panel ends at {edge:.0f} mm",
                f"what leaves {RIM_MM:g} mm of concrete all round",
            )


def _off_ribs(told: Measures, one: Placed) -> None:
    if told.kind != "ribbed-panel":
        return
    low, high = one.y_mm, one.y_mm + one.told.width_mm
    for first, last in rib_rows(told):
        if low < last and high > first:
            raise InputError(
                f"opening[{one.number}].front_mm",
                low,
                f"cuts the rib from {first:g} to {last:g} mm",
                "a place between two ribs",
            )


def _off_bowl(told: Measures, one: Placed) -> None:
    if told.kind != "slab-with-basin":
        return
    wall = told.measured("wall_mm")
    bowl = bowl_corner(told)
    sides = (told.measured("bowl_length_mm"), told.measured("bowl_width_mm"))
    here = (one.x_mm, one.y_mm)
    own = (one.told.length_mm, one.told.width_mm)
    if all(
        here[k] < bowl[k] + sides[k] + wall and here[k] + own[k] > bowl[k] - wall for k in (0, 1)
    ):
        first, last = bowl[0] - wall, bowl[0] + sides[0] + wall
        raise InputError(
            f"opening[{one.number}].left_mm",
            one.x_mm,
            f"falls into the bowl and its walls, from {first:g} to {last:g} mm",
            "a place beside the bowl, or drain_mm for its drain",
        )


def _off_ledge(told: Measures, one: Placed) -> None:
    if told.ledge_mm is None or one.told.wall is None:
        return
    high = told.measured("height_mm") - told.measured("ledge_down_mm")
    low = high - told.measured("ledge_thickness_mm")
    if one.y_mm < high and one.y_mm + one.told.width_mm > low:
        raise InputError(
            f"opening[{one.number}].front_mm",
            one.y_mm,
            f"with {one.told.width_mm:g} mm of opening it cuts the ledge, which is {low:g} to"
            f" {high:g} mm up",
            "a place under or over the ledge",
        )


def _apart(plate: Plain) -> None:
    """No two whose places were told lie over each other."""
    for first, one in enumerate(plate.holes):
        for other in plate.holes[first + 1 :]:
            if not (one.is_told and other.is_told):
                continue
            (ax, ay), (bx, by) = ((each.x_mm, each.y_mm) for each in (one, other))
            gap_x = max(bx - ax - one.told.length_mm, ax - bx - other.told.length_mm)
            gap_y = max(by - ay - one.told.width_mm, ay - by - other.told.width_mm)
            if max(gap_x, gap_y) < 0:
                raise InputError(
                    f"opening[{other.number}].left_mm",
                    other.x_mm,
                    f"overlaps opening {one.number + 1}, which begins at {one.x_mm:g} mm",
                    f"a place clear of its {one.told.length_mm:g} mm",
                )
