"""One notice, and the one thing every channel can do with it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol


@dataclass(frozen=True)
class Notice:
    """Words ready to send; `key` is the same when it is sent again, `until` its last use."""

    key: str
    title: str
    body: str
    until: datetime


class Channel(Protocol):
    """Where notices go. `name` holds no address: an address is a secret."""

    @property
    def name(self) -> str: ...

    def send(self, notice: Notice) -> None:
        """Hand the notice over, or raise DeliveryFailed(channel, reason, permanent)."""
        ...
