"""What is looked at before the concrete comes: made from the piece, its mould and the plan."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from models.facts.boards import BENDING
from models.message import Message, Value
from models.mould import told
from models.mould.check import Checked, check
from models.mould.pressure import Placing, pressing_kg_m3
from models.piece.shape import Insert
from models.simulation.scenario import Scenario

EVENING = ("finish", "knock-out", "protect", "core", "uncover")


@dataclass(frozen=True)
class Item:
    """One thing to look at. key : what a tick is kept under; says : what it is about"""

    key: str
    says: tuple[Message, ...]


def items(
    scenario: Scenario, covers: Sequence[str], hours: Sequence[tuple[str, datetime]]
) -> tuple[Item, ...]:
    """In the order in which a maker walks round the mould.

    covers : what is to lie on it by the plan; hours : steps of the same evening and night, with the
        hour each is planned or probably open
    Source: COMMON_PRACTICE.
    """
    mould, shape = scenario.mould, scenario.shape
    found = [_level(scenario), Item("seams", (Message("before_seams"),))]
    if mould.material in BENDING:
        agent = Message(f"mould_agent.{BENDING[mould.material].agent}")
        found.append(Item("release", (agent,)))
    if mould.material != "ground" and not shape.depth_known:
        found.append(Item("walls", (Message("before_walls.unknown"),)))
        found.append(Item("inner", (Message("before_floats_unknown"),)))
    elif mould.material != "ground":
        checked = check(
            shape,
            mould,
            Placing(density_kg_m3=pressing_kg_m3(scenario.mixture.density_kg_m3)),
        )
        found.append(Item("walls", (Message(f"before_walls.{checked.state}"),)))
        found += _floats(checked)
    found.append(Item("spacers", (Message("before_spacers"),)))
    if shape.drain_mm is not None:
        found.append(Item("drain", (Message("before_drain", {"drain_mm": shape.drain_mm}),)))
    if shape.inserts:
        kinds = tuple(_insert(one) for one in shape.inserts)
        found.append(Item("inserts", (Message("before_inserts", {"inserts": kinds}),)))
    if scenario.placement.bags is not None:
        mixed: dict[str, Value] = {"bags": scenario.placement.bags}
        found.append(Item("mix", (Message("before_mix", mixed),)))
    else:
        found.append(Item("mix", (Message("before_mix_untold"),)))
    named = tuple(Message("before_cover_of", {"cover": one}) for one in dict.fromkeys(covers))
    found.append(Item("cover", (Message("before_cover", {"covers": named}),)))
    if hours:
        said = tuple(Message("before_hour", {"step": step, "at": at}) for step, at in hours)
        found.append(Item("evening", (Message("before_evening", {"hours": said}),)))
    found.append(Item("gloves", (Message("before_gloves"),)))
    return tuple(found)


def _insert(one: Insert) -> Message:
    values: dict[str, Value] = {"insert": one.material}
    if one.gap_mm > 0:
        return Message("before_insert_wrapped", values | {"gap_mm": one.gap_mm})
    return Message("before_insert", values)


def _level(scenario: Scenario) -> Item:
    return Item(
        "level", (Message("before_level", {"depth_mm": scenario.shape.height_of_piece_mm}),)
    )


def _floats(checked: Checked) -> list[Item]:
    """Cores and knock-outs, each kind once, the heaviest of it."""
    worst: dict[str, tuple[float, Message]] = {}
    for one, says in zip(checked.uplifts, told.uplifts(checked), strict=True):
        if one.lifts_kg > worst.get(one.part, (0.0, says))[0]:
            worst[one.part] = (one.lifts_kg, says)
    return [Item(part, (says,)) for part, (_, says) in worst.items()]
