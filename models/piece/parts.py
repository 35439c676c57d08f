"""Each kind of piece as solids, faces, flat parts and edges.

Lengths from the left, the front and the foot of the piece as it will stand [mm].
"""

from collections.abc import Iterator

from models.piece import hollows
from models.piece.measures import DROP_SIDES, WALLS, Measures
from models.piece.part import Edge, Parts, Plate, areas_mm2, holes_in, through, ways_round_mm
from models.piece.placed import rib_rows
from models.piece.solids import End, Solid, block, round_mm


def parts_of(told: Measures) -> Parts:
    """The piece that its measures make. Source: geometry."""
    return {
        "box": hollows.box,
        "basin": hollows.basin,
        "block": _block,
        "l-shape": _legged,
        "u-shape": _legged,
        "steps": _steps,
        "by-hand": _by_hand,
    }.get(told.kind, _panel)(told)


def _panel(told: Measures) -> Parts:
    """A panel, round or with ribs, with a drop edge or a bowl beneath it."""
    L, W, t = told.length_mm, told.width_mm, told.measured("thickness_mm")
    oval = told.kind == "round-panel"
    below = [*_ribs(told), *_drop(told)]
    foot = 0.0
    bowl = hollows.bowl_of_slab(told) if told.kind == "slab-with-basin" else None
    if told.kind == "ribbed-panel":
        foot = told.measured("rib_depth_mm")
    elif told.drop_edge_mm is not None:
        foot = told.drop_edge_mm - t
    elif bowl is not None:
        foot = told.measured("bowl_depth_mm") + told.measured("floor_mm") - t
    plane = [End(at, L / 2, W / 2, L, W) for at in (foot, foot + t)]
    slab, holes = Solid(plane[0], plane[1], oval), holes_in(told)
    around = round_mm(L, W) if oval else 2 * (L + W)
    whole = slab.area_mm2(slab.low)
    open_mm2 = areas_mm2(holes)
    edge_mm2, under_mm2 = _hanging(told, foot)
    solids = [slab, *below, *through(holes, foot, foot + t)]
    faces = [
        ("top", "up", whole - open_mm2 - (bowl.mouth_mm2 if bowl else 0.0)),
        ("edges", "side", around * t + edge_mm2),
        ("openings", "side", ways_round_mm(holes) * t + (bowl.drain_side_mm2 if bowl else 0.0)),
        ("underside", "down", whole - open_mm2 + under_mm2 + (bowl.under_mm2 if bowl else 0.0)),
    ]
    plates = [Plate("panel", L, W, t, holes)]
    thick = [t]
    if told.kind == "ribbed-panel":
        deep, each = told.measured("rib_depth_mm"), told.measured("rib_mm")
        plates += [Plate("rib", L, t + deep, each)] * int(told.measured("ribs"))
        thick.append(min(each, t + deep))
    if told.drop_edge_mm is not None:
        thick.append(min(told.measured("drop_wall_mm"), told.drop_edge_mm))
    if bowl:
        solids += bowl.solids
        faces += [("inside", "side", bowl.inside_mm2), ("floor", "up", bowl.floor_mm2)]
        plates += bowl.plates
        thick.append(bowl.thick_mm)
    edge = told.drop_edge_mm if told.drop_edge_mm is not None else t
    edges = [Edge("edges", around, edge)]
    if holes:
        edges.append(Edge("openings", ways_round_mm(holes), t))
    walls = () if told.drop_wall_mm is None else (told.drop_wall_mm,)
    thin = min(*walls, *(plate.thickness_mm for plate in plates), t)
    return Parts(tuple(solids), tuple(faces), tuple(plates), tuple(edges), thin, max(*thick, thin))


def _ribs(told: Measures) -> Iterator[Solid]:
    if told.kind == "ribbed-panel":
        deep = told.measured("rib_depth_mm")
        for rows in rib_rows(told):
            yield block((0.0, told.length_mm), rows, (0.0, deep))


def _drop(told: Measures) -> Iterator[Solid]:
    """The drop edge below the panel, in walls that do not lie in each other."""
    if told.drop_edge_mm is None:
        return
    L, W, w = told.length_mm, told.width_mm, told.measured("drop_wall_mm")
    z = (0.0, told.drop_edge_mm - told.measured("thickness_mm"))
    if told.kind == "round-panel":
        low, high = (End(at, L / 2, W / 2, L, W) for at in z)
        yield Solid(low, high, round=True)
        yield Solid(low.shrunk(w, low.at), high.shrunk(w, high.at), round=True, hollow=True)
        return
    sides = DROP_SIDES[told.drop_sides or "all"]
    first, last = (w if "front" in sides else 0.0), (W - w if "back" in sides else W)
    if "front" in sides:
        yield block((0.0, L), (0.0, w), z)
    if "back" in sides:
        yield block((0.0, L), (W - w, W), z)
    if "left" in sides:
        yield block((0.0, w), (first, last), z)
    if "right" in sides:
        yield block((L - w, L), (first, last), z)


def _hanging(told: Measures, deep: float) -> tuple[float, float]:
    """What ribs or a drop edge add to the outer edges and to the underside [mm2]."""
    L, W = told.length_mm, told.width_mm
    if told.kind == "ribbed-panel":
        count, each = int(told.measured("ribs")), told.measured("rib_mm")
        outer = 2 * L * deep if count > 1 else 0.0
        return outer + 2 * count * each * deep, 2 * count * L * deep - outer
    if told.drop_edge_mm is None:
        return 0.0, 0.0
    w = told.measured("drop_wall_mm")
    if told.kind == "round-panel":
        return round_mm(L, W) * deep, round_mm(L - 2 * w, W - 2 * w) * deep
    sides = DROP_SIDES[told.drop_sides or "all"]
    walls = list(_drop(told))
    joints = sum(
        (side in sides) * (("front" in sides) + ("back" in sides)) for side in ("left", "right")
    )
    around = sum(2 * (one.low.long + one.low.wide) for one in walls) - 2 * w * joints
    across = ("front" in sides) + ("back" in sides)
    outer = sum({"front": L, "back": L}.get(side, W) if side in sides else 0.0 for side in WALLS)
    outer += sum(w * across for side in ("left", "right") if side not in sides)
    outer += sum(
        w * (("left" in sides) + ("right" in sides))
        for side in ("front", "back")
        if side not in sides
    )
    return outer * deep, (around - outer) * deep


def _block(told: Measures) -> Parts:
    L, W, H = told.length_mm, told.width_mm, told.measured("height_mm")
    whole = block((0.0, L), (0.0, W), (0.0, H))
    faces = (
        ("top", "up", L * W),
        ("sides", "side", whole.skin_mm2),
        ("underside", "down", L * W),
    )
    thin, short, long = sorted((L, W, H))
    edges = (Edge("sides", 2 * (L + W), thin),)
    return Parts((whole,), faces, (Plate("block", long, short, thin),), edges, thin, thin)


def _legged(told: Measures) -> Parts:
    """A seat on one leg at its left end, or on two."""
    L, W, H = told.length_mm, told.width_mm, told.measured("height_mm")
    t, leg = told.measured("thickness_mm"), told.measured("wall_mm")
    legs, under = (1 if told.kind == "l-shape" else 2), H - t
    seat = block((0.0, L), (0.0, W), (under, H))
    standing = [
        block((0.0, leg), (0.0, W), (0.0, under)),
        block((L - leg, L), (0.0, W), (0.0, under)),
    ]
    profile = L * t + legs * leg * under
    faces = (
        ("top", "up", L * W),
        ("front", "side", profile),
        ("back", "side", profile),
        ("sides", "side", 2 * W * t + legs * W * under),
        ("inside", "side", legs * W * under),
        ("underside", "down", L * W),
    )
    plates = (Plate("seat", L, W, t), *[Plate("leg", H, W, leg)] * legs)
    edges = (Edge("edges", 2 * (L + W), t),)
    solids = (seat, *standing[:legs])
    return Parts(solids, faces, plates, edges, min(t, leg), max(t, leg))


def _steps(told: Measures) -> Parts:
    """Solid steps that rise from left to right."""
    L, W, H = told.length_mm, told.width_mm, told.measured("height_mm")
    count = int(told.measured("steps"))
    tread, rise = L / count, H / count
    solids = tuple(
        block((k * tread, L), (0.0, W), (k * rise, (k + 1) * rise)) for k in range(count)
    )
    profile = tread * rise * count * (count + 1) / 2
    faces = (
        ("top", "up", L * W),
        ("front", "side", profile),
        ("back", "side", profile),
        ("sides", "side", 2 * H * W),
        ("underside", "down", L * W),
    )
    thin, thick = min(rise, W), min(H, W, L)
    plate = Plate("steps", L, W, rise)
    edges = (Edge("top", count * W, thin),)
    return Parts(solids, faces, (plate,), edges, thin, thick)


def _by_hand(told: Measures) -> Parts:
    """What a maker has worked out: no solids, one face, one part as thin as the thinnest."""
    thick, thin = told.measured("thickest_part_mm"), told.measured("thinnest_part_mm")
    faces = (("whole", "side", told.measured("told_faces_m2") * 1e6),)
    plate = Plate("whole", told.length_mm, told.width_mm, thin)
    edges = (Edge("whole", 2 * (told.length_mm + told.width_mm), thin),)
    return Parts((), faces, (plate,), edges, thin, thick)
