"""An invented shop: five pieces at five moments, frost tonight, every answer ready to be read.

Shapes, mixes, moulds and sealers are those of the scenario files in demo_data; the shop, its
places and its hours are the demo's own. Nothing here asks the internet.
"""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from functools import partial
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

from sqlmodel import Session

from models.simulation.scenario import Scenario
from service import scenario_file
from service.actions.pours import log_pour, mark_step_done, record_reading, record_strength_test
from service.actions.shop import set_up_shop
from service.actions.weather import refresh_forecasts
from service.actions.windows.project_pour import project_pour
from service.demo.weather import Replay as Replay
from service.nouns.cover import ProtectionCreate
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.nouns.strength_test import StrengthTestCreate
from service.store import Store

TIMEZONE = "America/Chicago"  # where whoever runs it has no clock of their own
HOUR = timedelta(hours=1)
LATITUDE = 44.0
PLACES: dict[str, dict[str, Any]] = {
    "Carport": {"kind": "covered"},
    "Garage": {"kind": "unheated room", "lag_h": 9.0, "offset_K": 3.0},
    "Heated room": {"kind": "heated room", "setpoint_C": 18.0},
}
REPELLENT = "silane-siloxane"
OWNED = ("film", "wet cover", "blanket")


def hours_ago(hours: float) -> Callable[[datetime], datetime]:
    return lambda now: now - hours * HOUR


def at_ten(hours: float) -> Callable[[datetime], datetime]:
    """The last ten in the morning that is so long ago."""

    def at(now: datetime) -> datetime:
        then = now - hours * HOUR
        ten = then.replace(hour=10, minute=0, second=0, microsecond=0)
        return ten if ten <= then else ten - timedelta(days=1)

    return at


def old_tomorrow_at_nine(hours: float) -> Callable[[datetime], datetime]:
    """So that the piece is so old by nine tomorrow morning."""

    def at(now: datetime) -> datetime:
        nine = (now + timedelta(days=1)).replace(hour=9, minute=0, second=0, microsecond=0)
        return nine - hours * HOUR

    return at


@dataclass(frozen=True)
class Staged:
    """One piece of the shop; hours count from placing, negative ones back from now."""

    scenario: str
    name: str
    place: str
    poured: Callable[[datetime], datetime]  # from now, on the shop's clock
    concrete_C: float
    covers: tuple[tuple[str, float, float | None], ...] = ()
    done: tuple[tuple[str, float], ...] = ()
    probe_C: tuple[tuple[float, float], ...] = ()
    cubes_MPa: tuple[tuple[float, float], ...] = ()
    answered_h: tuple[float, ...] = ()  # what was said before, for the record
    repelled: bool = False  # instead of the sealer of the scenario
    finished: bool = False


SHOP = (
    Staged(  # cover it tonight, or lose it
        "kiln-step", "Garden step", "Carport", hours_ago(1.5), 18.0, (("film", 1.0, None),)
    ),
    Staged(  # its mould may come off
        "larch-table",
        "Larch table top",
        "Garage",
        at_ten(27.0),
        15.0,
        (("film", 2.0, 20.0),),
        (("finish", 4.0), ("cover", 5.0), ("knock-out", 8.0)),
    ),
    Staged(  # out of its mould, strong enough to be turned tomorrow
        "two-moulds/3-long-shelf",
        "Long shelf",
        "Heated room",
        old_tomorrow_at_nine(84.0),
        15.0,
        (("film", 2.0, 40.0),),
        (("finish", 5.0), ("cover", 6.0), ("strip", -1.0)),
        repelled=True,
    ),
    Staged(  # the first of its coats dries
        "salt-counter",
        "Salt counter",
        "Heated room",
        at_ten(312.0),
        20.0,
        (("film", 1.0, 48.0), ("wet cover", 48.0, 144.0)),
        (
            ("finish", 5.0),
            ("cover", 6.0),
            ("knock-out", 9.0),
            ("strip", 48.0),
            ("turn", 49.0),
            ("end-wet-cure", 144.0),
            ("uncover", 144.0),
            ("sand", 167.0),
            ("hone", 169.0),
            ("coat-1", -1.0),
        ),
    ),
    Staged(  # handed over, with what was measured beside what was foreseen
        "heron-bench",
        "Heron bench seat",
        "Garage",
        at_ten(33 * 24.0),
        16.0,
        (("film", 1.0, 168.0),),
        (
            ("finish", 5.0),
            ("cover", 6.0),
            ("strip", 47.0),
            ("turn", 103.0),
            ("end-wet-cure", 168.0),
            ("uncover", 168.0),
            ("sand", 192.0),
            ("coat-1", 29 * 24.0),
            ("coat-2", 30 * 24.0),
        ),
        ((8.0, 17.0), (24.0, 14.5), (46.0, 12.0)),
        ((7 * 24.0, 14.5), (28 * 24.0, 25.0)),
        (3.0, 46.0),
        repelled=True,
        finished=True,
    ),
)


def fill(store: Store, weather: Replay) -> list[int]:
    """The rows of the shop, through the same actions as a person's; the keys of the pours.

    Each pour is computed, so that the first page has its hours.
    """
    now, timezone = weather.opened, weather.zone.key
    where = {"latitude": LATITUDE, "longitude": weather.longitude, "timezone": timezone}
    with store.unit_of_work() as session:
        set_up_shop.open_shop(session, now, timezone)
        owned = [{"kind": kind} for kind in OWNED]
        set_up_shop.change_shop(
            session, now, {"name": "Invented shop", "covers": owned, "gear": ["rail"]}
        )
        places = {
            name: set_up_shop.save_place(session, now, {"name": name, **where, **place}).id
            for name, place in PLACES.items()
        }
    with as_file(files("service") / "demo_data") as folder:
        return [_pour(store, weather, staged, places[staged.place], folder) for staged in SHOP]


def _pour(store: Store, weather: Replay, staged: Staged, place_id: int, folder: Path) -> int:
    scenario = scenario_file.read(folder / f"{staged.scenario}.toml").scenario
    now = weather.opened
    placed_at = staged.poured(now)
    with store.unit_of_work() as session:
        pour_id = _logged(session, now, staged, scenario, place_id)
    for at, act in sorted(_life(staged, now, placed_at), key=lambda one: one[0]):
        if act is None:
            refresh_forecasts.refresh_forecast(store, at, place_id, weather)
            project_pour(store, at, pour_id)
            continue
        with store.unit_of_work() as session:
            act(session, at, pour_id)
    refresh_forecasts.refresh_forecast(store, now, place_id, weather)
    project_pour(store, now, pour_id)
    if staged.finished:
        with store.unit_of_work() as session:
            log_pour.close_pour(session, now, pour_id, log_pour.FINISHED)
    return pour_id


Act = Callable[[Session, datetime, int], object]


def _life(staged: Staged, now: datetime, placed_at: datetime) -> list[tuple[datetime, Act | None]]:
    """What was done and read, and when; None: when an answer was asked for."""

    def at(hours: float) -> datetime:
        return now + hours * HOUR if hours < 0 else placed_at + hours * HOUR

    return [
        *((at(hours), None) for hours in staged.answered_h),
        *((at(hours), partial(_done, step)) for step, hours in staged.done),
        *((at(hours), partial(_probed, C)) for hours, C in staged.probe_C),
        *((at(hours), partial(_broken, MPa)) for hours, MPa in staged.cubes_MPa),
    ]


def _done(step: str, session: Session, at: datetime, pour_id: int) -> None:
    mark_step_done.mark_step_done(session, at, pour_id, step, at)


def _probed(C: float, session: Session, at: datetime, pour_id: int) -> None:
    record_reading.record_reading(
        session, at, pour_id, ReadingCreate(kind="concrete", value_C=C, at=at)
    )


def _broken(MPa: float, session: Session, at: datetime, pour_id: int) -> None:
    record_strength_test.record_strength_test(
        session, at, pour_id, StrengthTestCreate(kind="cube", MPa=MPa, at=at)
    )


def _logged(
    session: Session, now: datetime, staged: Staged, scenario: Scenario, place_id: int
) -> int:
    """The pour with its piece, mix, mould and sealer; its key."""
    placed_at = staged.poured(now)
    piece = set_up_shop.save_piece(session, now, _piece(scenario, staged.name))
    mould = {**asdict(scenario.mould), "name": f"{staged.name} mould", "piece_id": piece.id}
    mix = _mix(scenario, f"{scenario.mixture.kind} for {staged.name.lower()}")
    sealer = {**asdict(scenario.sealer), "name": f"{staged.name} sealer"}
    if staged.repelled:
        sealer |= {"chemistry": REPELLENT}
    wanted = PourCreate(
        mix_id=set_up_shop.save_mix(session, now, mix).id,
        piece_id=piece.id,
        place_id=place_id,
        placed_at=placed_at,
        mould_id=set_up_shop.save_mould(session, now, mould).id,
        sealer_id=set_up_shop.save_sealer(session, now, sealer).id,
        concrete_C=staged.concrete_C,
        bags=scenario.placement.bags,
        protections=[_cover(placed_at, *cover) for cover in staged.covers],
    )
    return log_pour.log_pour(session, now, wanted).id


def _piece(scenario: Scenario, name: str) -> dict[str, Any]:
    values = asdict(scenario.shape)
    lists = {part: list(values.pop(part)) for part in ("openings", "faces_told", "inserts")}
    return {**values, **lists, "name": name, "shape": values.pop("kind")}


def _mix(scenario: Scenario, name: str) -> dict[str, Any]:
    values = asdict(scenario.mixture)
    return {**values, "name": name, "label": list(values["label"])}


def _cover(placed_at: datetime, kind: str, from_h: float, to_h: float | None) -> ProtectionCreate:
    return ProtectionCreate(
        kind=kind,
        from_at=placed_at + from_h * HOUR,
        to_at=None if to_h is None else placed_at + to_h * HOUR,
    )
