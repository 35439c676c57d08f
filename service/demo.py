"""An invented shop: five pieces in different stages under one replayed autumn, frost tonight.

Shapes, mixes, moulds and sealers are those of the scenario files in demo_data; the shop, its
places and its clock are the demo's own. Nothing here asks the internet.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

from models.air.series import AirSeries
from models.simulation.scenario import Scenario
from service import scenario_file
from service.actions.pours import log_pour, mark_step_done, record_reading
from service.actions.shop import set_up_shop
from service.actions.weather import refresh_forecasts
from service.nouns.cover import ProtectionCreate
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.store import Store
from service.weather import csv_file

TIMEZONE = "America/Chicago"
COLD_EVENING = datetime.fromisoformat("2026-10-14T00:00-05:00")  # its night goes to -1 degC
NIGHT_IS_OVER_H = 6
WHERE = {"latitude": 44.0, "longitude": -92.0, "timezone": TIMEZONE}
PLACES: dict[str, dict[str, Any]] = {
    "Carport": {"kind": "covered"},
    "Garage": {"kind": "unheated room", "lag_h": 9.0, "offset_K": 3.0},
    "Yard": {"kind": "open yard"},
    "Heated room": {"kind": "heated room", "setpoint_C": 18.0},
}
OWNED = ("film", "wet cover", "blanket", "two blankets")


@dataclass(frozen=True)
class Staged:
    """One piece of the shop: hours count back from now, those of covers forward from placing."""

    scenario: str
    name: str
    place: str
    poured_h_ago: float
    concrete_C: float
    covers: tuple[tuple[str, float, float | None], ...]
    done: tuple[tuple[str, float], ...] = ()
    low_high_C: tuple[float, float] | None = None


SHOP = (
    Staged("heron-bench", "Heron bench seat", "Carport", 1.5, 15.0, (("film", 1.0, None),)),
    Staged(
        "larch-table",
        "Larch table top",
        "Garage",
        20.0,
        14.0,
        (("film", 2.0, 12.0), ("blanket", 12.0, 96.0)),
        (("finish", 17.0), ("cover", 17.0), ("knock-out", 11.0)),
        (10.5, 14.0),
    ),
    Staged(
        "ember-surround",
        "Ember surround panel",
        "Yard",
        6.0,
        18.0,
        (("wet cover", 0.5, 5.0),),
        (("finish", 5.6), ("cover", 5.5), ("knock-out", 5.0)),
    ),
    Staged(
        "quarry-planter",
        "Quarry planter",
        "Yard",
        144.0,
        17.0,
        (("film", 2.0, None),),
        (("finish", 140.0), ("cover", 140.0), ("core", 100.0), ("strip", 96.0)),
    ),
    Staged(
        "salt-counter",
        "Salt counter",
        "Heated room",
        312.0,
        20.0,
        (("film", 1.0, 48.0), ("wet cover", 48.0, 144.0)),
        (
            ("finish", 307.0),
            ("cover", 306.0),
            ("knock-out", 303.0),
            ("strip", 264.0),
            ("turn", 263.0),
            ("end-wet-cure", 168.0),
            ("uncover", 168.0),
            ("sand", 150.0),
            ("hone", 146.0),
            ("coat-1", 6.0),
        ),
    ),
)


class Replay:
    """The invented autumn of heron-bench, moved by whole days so that its cold night comes next."""

    name = "replayed weather"
    attribution = "Invented weather, replayed"

    def __init__(self) -> None:
        with as_file(files("service") / "demo_data" / "heron-bench.csv") as path:
            self._recorded = csv_file.read(path, path.name)

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """The same air for every place of the shop."""
        del latitude, longitude, altitude_m
        local = now.astimezone(COLD_EVENING.tzinfo) - timedelta(hours=NIGHT_IS_OVER_H)
        days = timedelta(days=(local - COLD_EVENING).days)
        return replace(
            self._recorded, start=self._recorded.start + days, issued_at=now, source=self.name
        )


def fill(store: Store, now: datetime, weather: Replay) -> list[int]:
    """The rows of the shop, through the same actions as a person's; the keys of the pours."""
    with store.unit_of_work() as session:
        set_up_shop.open_shop(session, now, TIMEZONE)
        owned = [{"kind": kind} for kind in OWNED]
        set_up_shop.change_shop(session, now, {"name": "Invented shop", "covers": owned})
        places = {
            name: set_up_shop.save_place(session, now, {"name": name, **WHERE, **place}).id
            for name, place in PLACES.items()
        }
    for place_id in places.values():
        refresh_forecasts.refresh_forecast(store, now, place_id, weather)
    with as_file(files("service") / "demo_data") as folder:
        return [_pour(store, now, staged, places, folder) for staged in SHOP]


def _pour(
    store: Store, now: datetime, staged: Staged, places: Mapping[str, int], folder: Path
) -> int:
    scenario = scenario_file.read(folder / f"{staged.scenario}.toml").scenario
    placed_at = now - timedelta(hours=staged.poured_h_ago)
    with store.unit_of_work() as session:
        piece = set_up_shop.save_piece(session, now, _piece(scenario, staged.name))
        mould = {**asdict(scenario.mould), "name": f"{staged.name} mould", "piece_id": piece.id}
        mix = _mix(scenario, f"{scenario.mixture.kind} for {staged.name.lower()}")
        sealer = {**asdict(scenario.sealer), "name": f"{staged.name} sealer"}
        wanted = PourCreate(
            mix_id=set_up_shop.save_mix(session, now, mix).id,
            piece_id=piece.id,
            place_id=places[staged.place],
            placed_at=placed_at,
            mould_id=set_up_shop.save_mould(session, now, mould).id,
            sealer_id=set_up_shop.save_sealer(session, now, sealer).id,
            concrete_C=staged.concrete_C,
            bags=scenario.placement.bags,
            protections=[_cover(placed_at, *cover) for cover in staged.covers],
        )
        pour = log_pour.log_pour(session, now, wanted)
        for step, hours in staged.done:
            at = now - timedelta(hours=hours)
            mark_step_done.mark_step_done(session, now, pour.id, step, at)
        if staged.low_high_C is not None:
            low, high = staged.low_high_C
            reading = ReadingCreate(kind="air-min-max", value_C=low, value_max_C=high)
            record_reading.record_reading(session, now, pour.id, reading)
        return pour.id


def _piece(scenario: Scenario, name: str) -> dict[str, Any]:
    values = asdict(scenario.shape)
    shape, openings = values.pop("kind"), list(values.pop("openings"))
    return {**values, "name": name, "shape": shape, "openings": openings}


def _mix(scenario: Scenario, name: str) -> dict[str, Any]:
    values = asdict(scenario.mixture)
    return {**values, "name": name, "label": list(values["label"])}


def _cover(placed_at: datetime, kind: str, from_h: float, to_h: float | None) -> ProtectionCreate:
    return ProtectionCreate(
        kind=kind,
        from_at=placed_at + timedelta(hours=from_h),
        to_at=None if to_h is None else placed_at + timedelta(hours=to_h),
    )
