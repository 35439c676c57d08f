"""TOML -> orders of a shop: what is wanted until when, with which moulds; each kind of piece is a
scenario file of its own, so that a piece is told in one way wherever it is asked about.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from models.concrete.section import TURNAROUND_H
from models.errors import InputError
from models.planning.courses import Work, Works, usual_work
from models.planning.orders import COUNTED, MOST_COVERS, MouldThere, Order, Part, Pin, Shop
from models.planning.working_day import WorkingDays
from models.records.order import OrderBase
from models.records.shop import DAYS
from models.simulation.scenario import Scenario
from models.units import number_within, one_of
from service import scenario_file
from service.nouns.base import keys_of
from service.scenario_file import ScenarioFile
from service.toml_table import Keys, Table, parsed

TABLES = ("shop", "piece", "mould", "order", "cover")
TOP: Keys = {"asked_at": "instant"}
SHOP: Keys = {
    "timezone": "zone",
    "working_hours": "hours",
    "working_days": "words",
    "hands": "whole number",
    "confidence": "fraction",
}
ACTS = ("pour", "strip", "turn", "finish", "clean")
PIECE: Keys = {
    "name": "word",
    "scenario": "word",
    **{f"{act}_h": "time_h" for act in ACTS},
    **{f"{act}_hands": "whole number" for act in ACTS},
}
MOULD: Keys = {
    "name": "word",
    "pieces": "words",
    "free_at": "instant",
    "turnaround_h": "time_h",
}
COVER: Keys = {"kind": "word", "count": "whole number"}
ORDER: Keys = keys_of(OrderBase, "note")
PART: Keys = {"piece": "word", "count": "whole number"}
PINNED: Keys = {"number": "whole number", "mould": "word", "start_at": "instant"}


@dataclass(frozen=True)
class OrdersFile:
    """What a file tells; works : by kind of piece. shop : of the instant that is asked at."""

    path: Path
    shop: Shop
    orders: tuple[Order, ...]
    moulds: tuple[MouldThere, ...]
    pieces: Mapping[str, ScenarioFile]
    works: Mapping[str, Works]
    asked_at: datetime


def read(path: Path, now: datetime | None, today: datetime) -> OrdersFile:
    """The orders of a TOML file, asked at `now`, else at its own hour, else today.

    Raises InputError with the file's name and the key.
    """
    root = parsed(path)
    top = root.values(TOP, tables=TABLES)
    asked_at: datetime = now or top.get("asked_at") or today
    pieces, works = _pieces(root, path)
    first = next(iter(pieces.values()), None)
    shop = _shop(root.table("shop"), first.scenario if first else None, asked_at)
    shop = replace(shop, covers=_covers(root))
    moulds = []
    for row in root.rows("mould"):
        values = row.values(MOULD, needed=("name", "pieces"))
        for one in values["pieces"]:
            with row.placed():
                one_of("pieces", one, pieces)
        free_at = values.get("free_at")
        free_h = max(shop.days.hour(free_at), 0.0) if free_at else 0.0
        # told of a piece's own mould it holds for this one too, unless this tells otherwise
        own = [pieces[one].turnaround_h or 0.0 for one in values["pieces"]]
        turnaround_h = values.get("turnaround_h", max(own, default=0.0))
        with row.placed():
            number_within("turnaround_h", turnaround_h, *TURNAROUND_H, "hours from its strip")
        moulds.append(MouldThere(values["name"], tuple(values["pieces"]), free_h, turnaround_h))
    _once(root, "mould", [one.key for one in moulds])
    orders = tuple(_order(row, pieces, {one.key for one in moulds}) for row in root.rows("order"))
    _once(root, "order", [one.key for one in orders])
    ruled = {key: _ruled(one, shop, asked_at) for key, one in pieces.items()}
    return OrdersFile(path, shop, orders, tuple(moulds), ruled, works, asked_at)


def _once(root: Table, noun: str, names: list[str]) -> None:
    for k, name in enumerate(names):
        if name in names[:k]:
            raise root.refusal(f"{noun}[{k}].name", name, "told twice", "another name")


def _covers(root: Table) -> dict[str, int]:
    """How many there are of each kind; of a kind without a row there are enough."""
    found: dict[str, int] = {}
    for row in root.rows("cover"):
        values = row.values(COVER, needed=tuple(COVER))
        with row.placed():
            kind = one_of("kind", values["kind"], COUNTED)
            if kind in found:
                raise InputError("kind", kind, "told twice", "one count of each")
            found[kind] = int(number_within("count", values["count"], 0, MOST_COVERS))
    return found


def _shop(table: Table, scenario: Scenario | None, asked_at: datetime) -> Shop:
    values = table.values(SHOP)
    days = values.get("working_days", DAYS)
    with table.placed():
        for day in days:
            one_of("working_days", day, DAYS)
        zone = values.get("timezone") or (scenario.site.timezone if scenario else "UTC")
        rules = scenario.rules if scenario else None
        hours = values.get("working_hours") or (rules.working_hours if rules else None)
        worked = WorkingDays(asked_at, zone, days=tuple(DAYS.index(day) for day in days))
        worked = replace(worked, hours=hours) if hours else worked
        sure = values.get("confidence") or (rules.confidence if rules else 0.9)
        return Shop(worked, values.get("hands", 1), sure)


def _pieces(root: Table, path: Path) -> tuple[dict[str, ScenarioFile], dict[str, Works]]:
    pieces: dict[str, ScenarioFile] = {}
    works: dict[str, Works] = {}
    for row in root.rows("piece"):
        values = row.values(PIECE, needed=("name", "scenario"))
        name = values["name"]
        if name in pieces:
            raise row.refusal("name", name, "told twice", "another name")
        found = scenario_file.read(path.parent / str(values["scenario"]))
        pieces[name] = found
        usual = usual_work(found.scenario)
        with row.placed():
            told = {act: _work(act, values, getattr(usual, act)) for act in ACTS}
        works[name] = Works(**told)
    return pieces, works


def _work(act: str, values: Mapping[str, Any], usual: Work) -> Work:
    """The work of one act; what is not told as usual."""
    hours = number_within(f"{act}_h", values.get(f"{act}_h", usual.hours), 0.0, 168.0, "h")
    hands = number_within(f"{act}_hands", values.get(f"{act}_hands", usual.hands), 1, 20)
    return Work(60 * hours, int(hands))


def _order(row: Table, pieces: Mapping[str, ScenarioFile], moulds: set[str]) -> Order:
    values = row.values(ORDER, tables=("part",), needed=("name", "due_at"))
    parts = []
    for part in row.rows("part"):
        told = part.values(PART, tables=("pinned",), needed=("piece", "count"))
        pins = []
        for pin in part.rows("pinned"):
            one = pin.values(PINNED, needed=tuple(PINNED))
            with pin.placed():
                one_of("mould", one["mould"], sorted(moulds))
                number_within("number", one["number"], 1, told["count"])
            pins.append(Pin(one["number"], one["mould"], one["start_at"]))
        with part.placed({"count": "count"}):
            one_of("piece", told["piece"], pieces)
            number_within("count", told["count"], 1, 200)
            parts.append(Part(told["piece"], told["count"], tuple(pins)))
    if not parts:
        raise row.refusal(
            "part", None, "no piece is ordered", "[[order.part]] with piece and count"
        )
    with row.placed():
        return Order(
            values["name"],
            values["due_at"],
            tuple(parts),
            values.get("together", False),
            values.get("assembly_h", 0.0),
        )


def _ruled(file: ScenarioFile, shop: Shop, asked_at: datetime) -> ScenarioFile:
    """A piece as it would be poured from now on, by the hours and the confidence of this shop."""
    scenario = file.scenario
    rules = replace(scenario.rules, working_hours=shop.days.hours, confidence=shop.confidence)
    placement = replace(scenario.placement, at=asked_at)
    fresh = replace(
        scenario, rules=rules, placement=placement, done=(), plan=(), coverings=(), tests=()
    )
    kept = tuple(
        one
        for one in fresh.observations
        if one.at <= asked_at and one.at >= asked_at - timedelta(days=3)
    )
    return replace(file, scenario=replace(fresh, observations=kept))
