"""What the tests put in the place of the outside: a clock, a sky, a mailbox, a shop, windows."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import numpy as np
from sqlmodel import Session
from starlette.testclient import TestClient

from models.air.series import AirSeries
from models.errors import DeliveryFailed, WeatherUnavailable
from models.message import Message, text
from models.records import Mould
from models.results import Alert, FrostWatch, Need, PourSummary, Projection, StepWindow
from service.actions.shop.set_up_shop import (
    change_shop,
    open_shop,
    save_mix,
    save_mould,
    save_piece,
    save_place,
    save_sealer,
)
from service.notify.channel import Notice
from service.queries.rows import by_name
from service.store import Store

HOUR = timedelta(hours=1)


@dataclass
class Hands:
    """The clock of the app under test."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now

    def forward(self, hours: float) -> datetime:
        self.now += timedelta(hours=hours)
        return self.now


@dataclass
class Sky:
    """A weather service whose answer the test sets; `down` is the reason it gives none."""

    air_C: float = 12.0
    down: str = ""
    asked: list[tuple[float, float]] = field(default_factory=list)
    name: str = "a sky of the tests"
    attribution: str = "none"

    def forecast(
        self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        self.asked.append((latitude, longitude))
        if self.down:
            raise WeatherUnavailable(self.name, self.down, 900.0)
        return steady_air(now, self.air_C, source=self.name)


def steady_air(
    now: datetime, air_C: float, *, source: str = "a test", back_h: int = 48, ahead_h: int = 720
) -> AirSeries:
    """The same air for every hour around `now`."""
    start = now.astimezone(UTC).replace(minute=0, second=0, microsecond=0) - back_h * HOUR
    same = np.ones(back_h + ahead_h)
    return AirSeries(
        start=start,
        air_C=air_C * same,
        dew_point_C=(air_C - 4.0) * same,
        wind_m_s=2.0 * same,
        rain_mm=0.0 * same,
        cloud_fraction=0.5 * same,
        shortwave_W_m2=np.nan * same,
        issued_at=now,
        source=source,
    )


@dataclass
class Mailbox:
    """A channel that keeps what it is given; `refuse` makes it fail."""

    name: str = "mailbox"
    notices: list[Notice] = field(default_factory=list)
    refuse: DeliveryFailed | None = None

    def send(self, notice: Notice) -> None:
        if self.refuse is not None:
            raise self.refuse
        self.notices.append(notice)


@dataclass(frozen=True)
class Bench:
    """Keys of an invented shop with one of everything."""

    place_id: int
    mix_id: int
    piece_id: int
    mould_id: int
    sealer_id: int


SUMMARY = PourSummary(
    "bench",
    datetime(2026, 10, 14, 23, 0, tzinfo=UTC),
    text("panel 1200 x 600 x 40 mm"),
    text("bag mix"),
    "covered",
    28.8,
    66.2,
    text("Mind."),
)


@dataclass
class Windows:
    """Windows a test dictates instead of the science, to watch what is done about them."""

    steps: list[StepWindow] = field(default_factory=list)
    warnings: tuple[Message, ...] = ()
    alerts: tuple[Alert, ...] = ()
    frost_watch: FrostWatch | None = None

    def warn(self, kind: str, at: datetime, act_by: datetime, chance: float = 0.4) -> None:
        more = {
            "frost": Message("frost_may_come", {"need_MPa": 3.5, "lowest_C": -1.0}),
            "rain": Message("alert_rain", {"by": Message("act_by", {"at": act_by})}),
            "wind": Message(
                "alert_wind", {"bears_m_s": 5.5, "by": Message("act_by", {"at": act_by})}
            ),
        }.get(kind, Message("fumes"))
        told = Message(more.code, {**more.values, "chance": chance, "from_at": at})
        self.alerts = (
            *(a for a in self.alerts if a.kind != kind),
            Alert(kind, chance, at, act_by, text("one blanket"), 0.05, told),
        )
        self.warnings = tuple(alert.text for alert in self.alerts)

    def clear(self) -> None:
        self.alerts, self.warnings = (), ()

    def say(
        self,
        step: str,
        state: str,
        p90: datetime | None,
        latest: datetime | None = None,
        because: str = "4.2 MPa of 5.0 at the coldest corner.",
        p50: datetime | None = None,
        by_check: bool = False,
        after: str = "",
    ) -> None:
        self.steps = [other for other in self.steps if other.step != step]
        early = p90 - HOUR if p50 is None and p90 is not None else p50
        need = Need(Message("strength_coldest"), 5.0, "MPa")
        self.steps.append(
            StepWindow(
                step,
                state,
                early,
                p90,
                p90,
                latest,
                need,
                (text(because),),
                cautions=(text("A nail marks it but does not dent."),),
                missed=text("take the block out in pieces, no hammer"),
                by_check=by_check,
                after=after,
            )
        )

    def __call__(self, *_: object) -> Projection:
        return Projection(
            SUMMARY,
            None,
            tuple(self.steps),
            self.warnings,
            alerts=self.alerts,
            frost_watch=self.frost_watch,
        )


def furnish(store: Store, now: datetime) -> Bench:
    """An invented shop: one place, mix, piece, mould and sealer, one address for notices."""
    with store.unit_of_work() as session:
        open_shop(session, now, "America/Chicago")
        change_shop(session, now, {"notice_addresses": ["json://localhost"], "units": "si"})
        place = save_place(
            session,
            now,
            {
                "name": "Carport",
                "kind": "covered",
                "latitude": 44.0,
                "longitude": -92.0,
                "timezone": "America/Chicago",
            },
        )
        mix = save_mix(
            session,
            now,
            {
                "name": "Grey bag",
                "kind": "general-purpose",
                "label": [{"age_h": 168.0, "MPa": 19.0}, {"age_h": 672.0, "MPa": 28.0}],
            },
        )
        piece = save_piece(
            session,
            now,
            {
                "name": "North bench",
                "shape": "panel",
                "length_mm": 1500.0,
                "width_mm": 420.0,
                "thickness_mm": 60.0,
            },
        )
        mould = save_mould(session, now, {"name": "Bench mould", "piece_id": piece.id})
        sealer = save_sealer(
            session, now, {"name": "House acrylic", "chemistry": "water-based-acrylic"}
        )
        return Bench(place.id, mix.id, piece.id, mould.id, sealer.id)


def one_more_mould(session: Session, now: datetime) -> int:
    """The key of a mould as the bench has one: each pour stands in its own."""
    key = max(row.id for row in by_name(session, Mould)) + 1
    return save_mould(session, now, {"name": f"Mould {key}"}).id


def shell_told_by_hand(client: TestClient) -> tuple[int, int]:
    """Keys of a piece whose volume and thicknesses are told but no height, and of its mould."""
    piece = {"name": "Shell", "shape": "by-hand", "length_mm": 900, "width_mm": 400}
    piece |= {"told_volume_l": 15, "told_faces_m2": 1}
    piece |= {"thickest_part_mm": 50, "thinnest_part_mm": 50}
    piece_id: int = client.post("/api/v1/pieces", json=piece).json()["id"]
    mould = {"name": "Shell form", "piece_id": piece_id}
    return piece_id, client.post("/api/v1/moulds", json=mould).json()["id"]
