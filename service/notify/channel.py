"""One notice, and the one thing every channel can do with it."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol


@dataclass(frozen=True)
class Button:
    """What can be done from the notice itself: a page that is opened, or `post` that is sent."""

    action: str
    words: str
    path: str
    post: str = ""


@dataclass(frozen=True)
class Notice:
    """Words ready to send; `key` is the same when it is sent again, `until` its last use.

    path : of the page it is about; topic : a later notice of the same one takes its place
    severity : news | warning | alarm; lasts : how long from now it is of use
    """

    key: str
    title: str
    body: str
    until: datetime
    path: str = ""
    topic: str = ""
    severity: str = "news"
    lasts: timedelta = timedelta(hours=12)
    buttons: tuple[Button, ...] = ()


class Channel(Protocol):
    """Where notices go. `name` holds no address: an address is a secret."""

    @property
    def name(self) -> str: ...

    def send(self, notice: Notice) -> None:
        """Hand the notice over, or raise DeliveryFailed(channel, reason, permanent)."""
        ...
