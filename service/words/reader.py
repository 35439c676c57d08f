"""For whom a sentence is made."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo


@dataclass(frozen=True)
class Reader:
    """timezone : of the place that is spoken of; units : si | us; language : a folder of words
    now : when it is read, so that an hour of the same day is told without its day
    """

    timezone: str
    units: str = "si"
    language: str = "en"
    now: datetime | None = None

    def clock(self, at: datetime) -> datetime:
        """An instant on the clock of the place."""
        return at.astimezone(ZoneInfo(self.timezone))


PLAIN = Reader("UTC")  # for words without instants
