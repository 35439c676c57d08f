"""The weather of the demo's shop: a mild autumn behind it, a hard frost before next morning."""

import math
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from models.air.series import AirSeries

DAYS_BACK, DAYS_AHEAD = 45, 16
COLDEST_H, WARMEST_H = 6, 15
# low at dawn and high of the afternoon [degC], rain of that afternoon [mm], cloud
BEFORE = (
    (5.0, 13.0, 0.0, 0.4),
    (7.0, 14.0, 0.0, 0.5),
    (8.0, 12.0, 3.0, 0.9),
    (6.0, 13.0, 0.0, 0.3),
    (7.0, 15.0, 0.0, 0.4),
    (6.0, 14.0, 0.0, 0.2),
    (8.0, 13.0, 1.0, 0.8),
)
TO_COME = (
    (5.0, 11.0, 0.0, 0.2),  # the day before the cold night
    (-7.0, 8.0, 0.0, 0.1),
    (1.0, 9.0, 0.0, 0.3),
    (2.0, 9.0, 0.0, 0.5),
    (3.0, 10.0, 4.0, 0.9),
    (5.0, 11.0, 0.0, 0.6),
    (4.0, 12.0, 0.0, 0.4),
)


class Replay:
    """Invented weather by the clock of a zone, so that the cold night is always the next one."""

    name = "replayed weather"
    attribution = "Invented weather, replayed"

    def __init__(self, timezone: str, opened: datetime) -> None:
        self.zone = ZoneInfo(timezone)
        self.opened = opened.astimezone(self.zone)

    @property
    def longitude(self) -> float:
        """Where the sun keeps the hours of that clock [deg]."""
        offset = self.opened.utcoffset() or timedelta(0)
        return max(-180.0, min(180.0, offset / timedelta(hours=1) * 15.0))

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """The same air for every place of the shop."""
        del latitude, longitude, altitude_m
        eve = self._eve(now)
        start = datetime.combine(eve - timedelta(days=DAYS_BACK), time.min, UTC)
        hours = [start + timedelta(hours=h) for h in range(24 * (DAYS_BACK + DAYS_AHEAD))]
        rows = np.array([self._hour(at.astimezone(self.zone), eve) for at in hours])
        air, dew, wind, rain, cloud = rows.T
        return AirSeries(
            start=start,
            air_C=air,
            dew_point_C=dew,
            wind_m_s=wind,
            rain_mm=rain,
            cloud_fraction=cloud,
            shortwave_W_m2=np.full(len(hours), np.nan),
            issued_at=now,
            source=self.name,
        )

    def _eve(self, now: datetime) -> date:
        """The day before the cold night, which is the next that begins; whoever asks of the days
        before the demo was opened sees the same autumn."""
        return max(now.astimezone(self.zone), self.opened).date()

    def _hour(self, local: datetime, eve: date) -> tuple[float, float, float, float, float]:
        """Air, dew point, wind, rain and cloud of an hour."""
        day = (local.date() - eve).days
        low, high, rain, cloud = _day(day)
        clock = local.hour + local.minute / 60
        if clock < COLDEST_H:
            before, after, part = _day(day - 1)[1], low, (clock + 24 - WARMEST_H) / 15
        elif clock < WARMEST_H:
            before, after, part = low, high, (clock - COLDEST_H) / 9
        else:
            before, after, part = high, _day(day + 1)[0], (clock - WARMEST_H) / 15
        air = before + (after - before) * (1 - math.cos(math.pi * part)) / 2
        wind = 1.2 + 1.8 * max(0.0, math.sin(math.pi * (clock - 6) / 14))
        wet = rain / 4 if WARMEST_H <= clock < WARMEST_H + 4 else 0.0
        return round(air, 1), round(min(air - 0.8, low - 0.5), 1), round(wind, 1), wet, cloud


def _day(day: int) -> tuple[float, float, float, float]:
    if day < 0:
        return BEFORE[day % len(BEFORE)]
    return TO_COME[min(day, len(TO_COME) - 1)]
