"""What is cast in: what to mind, and the strength that the concrete needs before it is loaded."""

from dataclasses import dataclass

from models.facts.handling import TURN_FLOOR_MPA
from models.facts.inserts import (
    BREAKOUT,
    BURNS,
    CONE_REACH,
    EDGE_LEAST,
    EDGE_MM,
    EDGE_REST,
    FLAME_GAP_MM,
    LOAD,
    METALS,
    REACTS,
    RESISTANCE,
)
from models.message import Message
from models.piece.measures import Insert
from models.units import GRAVITY_M_S2, within


@dataclass(frozen=True)
class InsertAnswer:
    """What there is to mind of one insert; need_MPa before it is loaded, None where no load or
    depth was told."""

    insert: Insert
    cautions: tuple[Message, ...]
    need_MPa: float | None
    sources: tuple[str, ...]


def breakout_kN(strength_MPa: float, depth_mm: float, edge_mm: float | None = None) -> float:
    """Pull at which a head tears a cone out of cracked concrete, no factor [kN].

    N = kc sqrt(f'c) h^1.5 x what an edge leaves: of the cone's ground (1.5 h + c) / 3 h, and
    0.7 + 0.3 c / 1.5 h of what that holds.

    strength_MPa : [MPa], 0.1 to 150; depth_mm : [mm], 5 to 600, of the head under the face
    edge_mm : [mm], 0 to 1e4, to the nearest edge; None: far away

    Raises InputError outside the ranges. Source: ACI_318_BREAKOUT.
    """
    strength = float(within("strength_MPa", strength_MPa, 0.1, 150.0, "MPa"))
    return float(strength**0.5 * _breakout_at_one_MPa(depth_mm, edge_mm))


def _breakout_at_one_MPa(depth_mm: float, edge_mm: float | None) -> float:
    h = float(within("depth_mm", depth_mm, 5.0, 600.0, "mm"))
    reach = CONE_REACH * h
    edge = reach if edge_mm is None else float(within("edge_mm", edge_mm, 0.0, 1e4, "mm"))
    left = min(edge / reach, 1.0)
    ground, held = (1 + left) / 2, EDGE_LEAST + EDGE_REST * left
    return float(BREAKOUT * h**1.5 * ground * held / 1e3)


def strength_to_load_MPa(load_kg: float, depth_mm: float, edge_mm: float | None = None) -> float:
    """Strength at which a head may be pulled, with the factors of the code [MPa].

    load_kg : [kg], 0.1 to 5000, hanging at it; depth_mm : [mm], 5 to 600; edge_mm : [mm]

    Raises InputError outside the ranges. Source: ACI_318_BREAKOUT, its factors from memory.

    >>> round(strength_to_load_MPa(100.0, 30.0), 1)
    1.8
    """
    load = float(within("load_kg", load_kg, 0.1, 5000.0, "kg"))
    pull_kN = LOAD * load * GRAVITY_M_S2 / 1e3
    return float((pull_kN / (RESISTANCE * _breakout_at_one_MPa(depth_mm, edge_mm))) ** 2)


def look_at(insert: Insert) -> InsertAnswer:
    """What to mind of one insert. Source: CC_NONFERROUS, ACI_318_BREAKOUT, COMMON_PRACTICE."""
    cautions, sources = [], []
    if insert.material in REACTS:
        cautions.append(Message(REACTS[insert.material]))
        sources.append("CC_NONFERROUS")
    if insert.material == "wood":
        cautions.append(Message("insert_wood"))
        sources.append("COMMON_PRACTICE")
    if insert.by_flame and insert.material in BURNS:
        cautions.append(Message("insert_burns", {"insert": insert.material}))
    elif insert.by_flame and insert.material in METALS and insert.gap_mm < FLAME_GAP_MM:
        values = {"gap_mm": insert.gap_mm, "least_mm": FLAME_GAP_MM}
        cautions.append(Message("insert_by_flame", values))
        sources.append("COMMON_PRACTICE")
    if insert.edge_mm is not None:
        cautions += _edge(insert, insert.edge_mm)
    need = None
    if insert.load_kg is not None and insert.depth_mm is not None:
        pulled = strength_to_load_MPa(insert.load_kg, insert.depth_mm, insert.edge_mm)
        need = max(pulled, TURN_FLOOR_MPA)  # nothing hangs on what may not even be turned
        sources.append("ACI_318_BREAKOUT")
        loaded = {"load_kg": insert.load_kg, "need_MPa": need}
        cautions.append(Message("insert_need", loaded))
    elif insert.load_kg is not None:
        cautions.append(Message("insert_depth_untold", {"load_kg": insert.load_kg}))
    return InsertAnswer(insert, tuple(cautions), need, tuple(dict.fromkeys(sources)))


def _edge(insert: Insert, edge_mm: float) -> list[Message]:
    if edge_mm < EDGE_MM:
        return [Message("insert_at_edge", {"edge_mm": edge_mm, "least_mm": EDGE_MM})]
    if insert.depth_mm is not None and edge_mm < CONE_REACH * insert.depth_mm:
        reach = CONE_REACH * insert.depth_mm
        return [Message("insert_near_edge", {"edge_mm": edge_mm, "least_mm": reach})]
    return []
