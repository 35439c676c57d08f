"""A loopback server that answers as Open-Meteo's archive does: whole days from start to end date.

The same record and document as the forecast's stand-in; hours
younger than `delay` are null, as the reanalysis has not reached them.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta

from tests.stand_in import open_meteo_server as forecast
from tests.support.raw import JsonDict

HOUR = timedelta(hours=1)
KNOWN = (forecast.KNOWN - {"past_days", "forecast_days"}) | {"start_date", "end_date"}
VARIABLES = set(forecast.UNITS) - {"precipitation_probability"}


class ArchiveStandIn(forecast.StandIn):
    """`delay` of the archive; the rest as of the forecast's stand-in."""

    path = "/v1/archive"
    delay = timedelta(days=2)

    def wrong(self, query: dict[str, str]) -> str:
        """The reason of a 400, empty when the query is right (wording invented)."""
        if unknown := set(query) - KNOWN:
            return f"unknown parameter {sorted(unknown)[0]}"
        try:
            first, last = self._days(query)
        except (KeyError, ValueError):
            return "start_date and end_date are required"
        if not first <= last <= self.now:
            return "end_date is out of range"
        if unknown := set(query.get("hourly", "").split(",")) - VARIABLES:
            return f"unknown variable {sorted(unknown)[0]}"
        return ""

    def document(self, query: Mapping[str, str]) -> JsonDict:
        first, last = self._days(query)
        today = self.now.replace(hour=0, minute=0, second=0, microsecond=0)
        asked = {**query, "past_days": str((today - first).days), "forecast_days": "1"}
        (told,) = self._answers(asked)
        hours = 24 * ((last - first).days + 1)
        reached = int((self.now - self.delay - first) / HOUR)
        for name, column in told["hourly"].items():
            cut = column[:hours]
            if name != "time":
                cut = [value if k <= reached else None for k, value in enumerate(cut)]
            told["hourly"][name] = cut
        return told

    @staticmethod
    def _days(query: Mapping[str, str]) -> tuple[datetime, datetime]:
        first, last = (
            datetime.fromisoformat(query[name]).replace(tzinfo=UTC)
            for name in ("start_date", "end_date")
        )
        return first, last


@contextmanager
def serving(
    records: Mapping[tuple[float, float], forecast.Record], now: datetime
) -> Iterator[ArchiveStandIn]:
    stand_in = ArchiveStandIn(records, now)
    stand_in.start()
    try:
        yield stand_in
    finally:
        stand_in.stop()
