"""TOML -> Scenario: one pour in a file, refused in the same words as by the API.

A bare number is in the unit of its key; a text carries its unit. Every key must be known.
"""

import json
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from models.air.place import Site
from models.coating.film import SealerSystem
from models.coating.finish import checked
from models.concrete import mixture
from models.concrete.composition import Composition
from models.concrete.recipe import Part
from models.concrete.section import TURNAROUND_H, Covering, MouldBoard
from models.errors import InputError
from models.piece import shape
from models.planning.amounts import Choices
from models.simulation.batch import Batch
from models.simulation.batched import with_batches
from models.simulation.plan import SET_BY
from models.simulation.scenario import (
    KINDS_WITHOUT_VALUE,
    Done,
    Meant,
    Observation,
    Placement,
    Scenario,
    ShopRules,
    StrengthTest,
)
from models.steps import registry
from models.units import number_within, one_of
from service import region
from service.input_file import text_of
from service.piece_told import across, as_circle
from service.toml_table import LARGEST_BYTES, Keys, Table, parsed

# Keys of each noun and how each is read, written from the nouns by tests/golden/scenario_keys.py:
# to load those and the tables behind them takes longer than to answer.
OF: dict[str, Keys] = json.loads(Path(__file__).with_name("scenario_keys.json").read_text("utf-8"))
TOP: Keys = {"name": "word", "asked_at": "instant"}
TABLES = (
    "place",
    "mix",
    "piece",
    "mould",
    "pour",
    "batch",
    "reading",
    "strength_test",
    "sealer",
    "finish",
    "shop",
    "weather",
    "done",
    "plan",
    "amounts",
)
SITE: Keys = {**OF["place"], "timezone": "zone", "heated_hours": "hours"}
PLACE: Keys = {**SITE, "exposed_to_frost": "yes or no"}
MIX: Keys = {**OF["mix"], "water_l": "volume_l", "bags": "count"}
CEMENT: Keys = OF["cement"]
STRENGTH: Keys = OF["strength"]
PART: Keys = OF["part"]
AMOUNTS: Keys = OF["amounts"]
PIECE: Keys = OF["piece"]
OPENING: Keys = OF["opening"]
FACE: Keys = OF["face"]
INSERT: Keys = OF["insert"]
MOULD: Keys = OF["mould"]
KEPT = ("release_agent", "turnaround_h")  # of a mould, how it is kept: no hour of a step asks it
POUR: Keys = {"at": "instant", **OF["pour"]}
COVER: Keys = OF["cover"]
COVERING: Keys = {"from_h": "time_h", "to_h": "time_h", **COVER}
BATCH: Keys = {"at": "instant", **OF["batch"]}
READING: Keys = {
    "at": "instant",
    **OF["reading"],
    "value": "temperatures",
    "wrong": "yes or no",
}
MEASURED: Keys = {"tile": "mass_g", "humidity": "rh_pct"}  # the key of a value that is no degC
TEST: Keys = {"at": "instant", **OF["strength_test"]}
DONE: Keys = {"step": "word", "at": "instant"}
PLAN: Keys = {
    "step": "word",
    "at": "instant",
    "cover": "word",
    "heat": "temperature_C",
    "place": "word",
    "faces": "word",
    "set_by": "word",  # as an answer prints it; what is told here is its maker's
}
SEALER: Keys = OF["sealer"]
SHOP: Keys = {
    "confidence": "fraction",
    "code": "word",
    "working_hours": "hours",
    "quiet_hours": "hours",
    "gear": "words",
    "lifters": "whole number",
}
NEEDS: Keys = dict.fromkeys(registry.KEYS, "stress_MPa")
WEATHER: Keys = {
    "file": "word",
    "night_low_C": "temperature_C",
    "day_high_C": "temperature_C",
    "dew_point_C": "temperature_C",
    "wind_m_s": "speed_m_s",
    "cloud_pct": "percent",
    "days": "whole number",
}


@dataclass(frozen=True)
class TypedWeather:
    """A night low and the next day high, taken to repeat for `days` from the day of the pour."""

    night_low_C: float
    day_high_C: float
    dew_point_C: float | None = None
    wind_m_s: float = 2.0
    cloud_fraction: float = 0.0
    days: int = 3


@dataclass(frozen=True)
class ScenarioFile:
    """A scenario, its weather (a CSV, a typed pair, or none), and the instant asked about.

    release_agent, turnaround_h : of its mould, as the register of moulds keeps them
    """

    path: Path
    scenario: Scenario
    weather: Path | TypedWeather | None
    asked_at: datetime | None
    amounts: Choices = Choices()
    release_agent: str = ""
    turnaround_h: float | None = None


def read(path: Path) -> ScenarioFile:
    """The scenario of a TOML file; InputError carries the file's name and the key."""
    root = parsed(path)
    top = root.values(TOP, tables=TABLES)
    place = root.table("place", needed=True).values(PLACE, needed=("kind",))
    frost = place.pop("exposed_to_frost", True)
    with root.table("place").placed():
        site = Site(**place)
        zone = region.agreed_zone(place.get("timezone"), site.latitude, site.longitude)
        site = replace(site, timezone=zone)
    pour = root.table("pour", needed=True)
    own = _mixture(root.table("mix", needed=True))
    batches = tuple(_batch(row, own) for row in root.rows("batch"))
    sealer, *then = _finish(root)
    board, kept = _mould(root.table("mould"))
    scenario = Scenario(
        name=top.get("name", path.stem),
        site=site,
        mixture=own,
        shape=_shape(root.table("piece", needed=True)),
        burner=_burner(root.table("piece")),
        placement=pour.build(Placement, POUR, tables=("protection",), needed=("at",)),
        mould=board,
        coverings=tuple(
            _covering(row, COVERING, ("from_h", "kind")) for row in pour.rows("protection")
        ),
        observations=tuple(_observation(row) for row in root.rows("reading")),
        tests=tuple(
            row.build(StrengthTest, TEST, needed=tuple(TEST)) for row in root.rows("strength_test")
        ),
        sealer=sealer,
        rules=_rules(root.table("shop")),
        done=tuple(row.build(Done, DONE, needed=tuple(DONE)) for row in root.rows("done")),
        exposed_to_frost=frost,
        plan=_plan(root),
        then=tuple(then),
    )
    scenario = _batched(root, scenario, batches)
    choices = root.table("amounts").build(Choices, AMOUNTS)
    return ScenarioFile(path, scenario, _weather(root, path), top.get("asked_at"), choices, **kept)


def _mould(table: Table) -> tuple[MouldBoard, dict[str, Any]]:
    """The board, and how it is kept."""
    values = table.values(MOULD)
    kept = {name: values.pop(name) for name in KEPT if name in values}
    with table.placed():
        if "turnaround_h" in kept:
            number_within("turnaround_h", kept["turnaround_h"], *TURNAROUND_H, "h")
        return MouldBoard(**values), kept


def read_plan(path: Path) -> tuple[Meant, ...]:
    """The plan of a file of its own: [[plan]] rows of TOML, or JSON as an answer prints it."""
    if path.suffix.lower() != ".json":
        return _plan(parsed(path))
    where = path.name
    allowed = 'JSON: {"plan": [{"step": ..., "at": ...}]}, or that list alone'
    try:
        told = json.loads(text_of(path, where, allowed, LARGEST_BYTES))
    except ValueError as error:
        raise InputError("file", where, f"not JSON, {error}", allowed, where) from None
    rows = told.get("plan") if isinstance(told, dict) else told
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise InputError("plan", rows, "not a list of acts", allowed, where)
    named = [{key: value for key, value in row.items() if value is not None} for row in rows]
    return _plan(Table({"plan": named}, where, ""))


def _plan(root: Table) -> tuple[Meant, ...]:
    acts: list[Meant] = []
    for row in root.rows("plan"):
        values = row.values(PLAN, needed=("step", "at"))
        with row.placed():
            one_of("set_by", values.pop("set_by", "maker"), SET_BY)
            acts.append(Meant(**values))
    return tuple(acts)


def _finish(root: Table) -> tuple[SealerSystem, ...]:
    """The products in their order; a sealer is a finish of one."""
    rows, sealer = root.rows("finish"), root.table("sealer")
    if rows and sealer.raw:
        allowed = "[sealer], or [[finish]] with each product in its order"
        raise root.refusal("sealer", sealer.raw, "beside a finish", allowed)
    if not rows:
        return (sealer.build(SealerSystem, SEALER),)
    found = tuple(row.build(SealerSystem, SEALER, needed=("chemistry",)) for row in rows)
    with root.placed():
        checked(found)
    return found


def _mixture(mix: Table) -> mixture.Mixture:
    values = mix.values(MIX, tables=("strength", "cement", "recipe"), needed=("class",))
    sheet = mix.table("cement")
    if sheet.raw:
        values["cement"] = sheet.build(Composition, CEMENT)
    label = tuple(
        row.build(mixture.LabelStrength, STRENGTH, needed=("age_h", "MPa"))
        for row in mix.rows("strength")
    )
    values["recipe"] = tuple(
        row.build(Part, PART, needed=("kind", "kg")) for row in mix.rows("recipe")
    )
    by_bucket = {name: values.pop(name) for name in ("water_l", "bags") if name in values}
    if by_bucket and "water_cement" in values:
        wrong, allowed = "told twice: water_l and bags give it too", "one of both"
        raise mix.refusal("water_cement", values["water_cement"], wrong, allowed)
    if len(by_bucket) == 1:
        (name,) = by_bucket
        raise mix.refusal(name, by_bucket[name], "says nothing alone", "water_l beside bags")
    with mix.placed():
        told = mixture.Mixture(kind=values.pop("class"), label=label, **values)
        return told.mixed_with(**by_bucket) if by_bucket else told.by_recipe()


def _batch(row: Table, of_pour: mixture.Mixture) -> Batch:
    values = row.values(BATCH, tables=("mix",), needed=("at",))
    own = row.table("mix")
    mixed = _mixture(own) if own.raw else None
    with row.placed():
        batch, mix = Batch(**values, mixture=mixed), mixed or of_pour
        if batch.water_l and batch.bags and mix.bag_told:
            mix.mixed_with(batch.water_l, batch.bags)  # refuses what is no concrete
        return batch


def _batched(root: Table, scenario: Scenario, batches: tuple[Batch, ...]) -> Scenario:
    """With its batches; the youngest sets the clock."""
    if not batches:
        return scenario
    youngest = max(one.at for one in batches)
    placed = scenario.placement
    placed = replace(placed, at=max(placed.at, youngest))
    with root.rows("batch")[-1].placed():
        return with_batches(replace(scenario, placement=placed), batches)


def _burner(piece: Table) -> bool:
    return bool(piece.raw.get("burner", False))


def _shape(piece: Table) -> shape.Shape:
    told = Table(as_circle(piece.raw), piece.where, piece.path)
    tables = ("opening", "face", "insert")
    values = told.values(PIECE, tables=tables, needed=("shape", "length_mm", "width_mm"))
    values.pop("burner", None)  # of the scenario, not of the shape
    openings = []
    for row in piece.rows("opening"):
        hole = row.values(OPENING, needed=("length_mm",))
        with row.placed():
            openings.append(shape.Opening(**{**hole, "width_mm": across(hole)}))
    parts: dict[str, Any] = {
        "openings": tuple(openings),
        "faces_told": tuple(
            row.build(shape.FaceTold, FACE, needed=("face",)) for row in piece.rows("face")
        ),
        "inserts": tuple(
            row.build(shape.Insert, INSERT, needed=("material",)) for row in piece.rows("insert")
        ),
    }
    with piece.placed():
        return shape.Shape(kind=values.pop("shape"), **values, **parts)


def _covering(row: Table, keys: Keys, needed: tuple[str, ...]) -> Covering:
    values = {"from_h": 0.0, "to_h": None, **row.values(keys, needed=needed)}
    with row.placed():
        return Covering(**values)


def _observation(row: Table) -> Observation:
    values = row.values(READING, needed=("at", "kind"))
    own = MEASURED.get(values["kind"])
    for kind, key in MEASURED.items():
        if key in values and key != own:
            wrong = f"a {values['kind']} reading has none"
            raise row.refusal(key, row.raw[key], wrong, f'only kind = "{kind}"')
    if own is not None:
        row.values(READING, needed=(own,))
        if "value" in values:
            wrong = f"a {values['kind']} reading is no temperature"
            raise row.refusal("value", row.raw["value"], wrong, f"{own} alone")
        with row.placed({"value": own}):
            return Observation(value=values.pop(own), **values)
    if values["kind"] in KINDS_WITHOUT_VALUE and "value" not in values:
        with row.placed():
            return Observation(**values)
    row.values(READING, needed=("value",))
    ends = values.pop("value")
    paired = values["kind"] == "air-min-max"
    if len(ends) != (2 if paired else 1):
        wrong = "a min-max reading has two ends" if paired else "a single reading has one value"
        allowed = "[low, high] in degC" if paired else "one temperature, as 12.5 or '55 F'"
        raise row.refusal("value", row.raw["value"], wrong, allowed)
    with row.placed({"value_max": "value[1]"}):
        return Observation(value=ends[0], value_max=ends[1] if paired else None, **values)


def _rules(shop: Table) -> ShopRules:
    owned = tuple(_covering(row, COVER, ("kind",)) for row in shop.rows("protection"))
    indoors = _site(shop.table("indoors"))
    needs = shop.table("needs_MPa").values(NEEDS)
    tables = ("protection", "needs_MPa", "indoors")
    return shop.build(ShopRules, SHOP, tables=tables, owned=owned, needs_MPa=needs, indoors=indoors)


def _site(room: Table) -> Site | None:
    """The shop's own room; None where it has none."""
    if not room.raw:
        return None
    site = room.build(Site, SITE, needed=("kind",))
    with room.placed():
        zone = region.agreed_zone(room.raw.get("timezone"), site.latitude, site.longitude)
    return replace(site, timezone=zone)


def _weather(root: Table, path: Path) -> Path | TypedWeather | None:
    table = root.table("weather")
    if not table.raw:
        return None
    values = table.values(WEATHER)
    if "file" in values:
        other = next((key for key in values if key != "file"), None)
        if other is not None:
            allowed = "either weather.file or weather.night_low_C and weather.day_high_C"
            raise table.refusal(other, table.raw[other], "beside a weather file", allowed)
        return path.parent / str(values["file"])
    table.values(WEATHER, needed=("night_low_C", "day_high_C"))
    cloud = values.pop("cloud_pct", 0.0)
    with table.placed():
        number_within("cloud_pct", cloud, 0.0, 100.0, "%")
        number_within("days", values.get("days", 3), 1, 16, "days")
    return TypedWeather(cloud_fraction=cloud / 100.0, **values)
