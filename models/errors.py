"""The one family of errors: each names the field, the value and what would be accepted.

    ValueError
      x InputError              a value that cannot be used (command line exit 2, HTTP 422)
          + NoSuchRow           a key that no row has (HTTP 404 where it stands in the address);
                                service.queries.rows
          + KeyReused           an idempotency key of another request; service.request_context
    Exception
      x Conflict                two people changed the same thing (HTTP 409)
      x Doubtful                a value that fits much better in another unit (HTTP 409, unless
                                confirmed)
      x WeatherUnavailable      a weather service gave no usable answer; its kinds, which are
                                fields: service.weather.http
      x DeliveryFailed          a notice did not go out, for now or for good
      x Refused                 a form goes back to its maker; service.pages.form_post

Unknown is no exception: a missing fact that blocks an answer.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from models.message import Message


class InputError(ValueError):
    """A value that cannot be used. `where` is a file or a request, `field` a dotted path."""

    def __init__(
        self, field: str, value: object, wrong: str, allowed: str, where: str = ""
    ) -> None:
        self.field, self.value, self.wrong, self.allowed = field, value, wrong, allowed
        self.where = where
        super().__init__(field, value, wrong, allowed, where)

    def __str__(self) -> str:
        shown = repr(self.value) if isinstance(self.value, str) else str(self.value)
        if len(shown) > 120:
            shown = shown[:117] + "..."
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.field} = {shown}: {self.wrong}; give {self.allowed}."

    def at(self, where: str, prefix: str = "") -> "InputError":
        """The same error, placed in a file or request and under a longer field path."""
        return InputError(prefix + self.field, self.value, self.wrong, self.allowed, where)


@contextmanager
def renamed(names: Mapping[str, str] | None = None, prefix: str = "") -> Iterator[None]:
    """Errors of a part, under the names that its fields have in the whole."""
    try:
        yield
    except InputError as error:
        field = (names or {}).get(error.field, prefix + error.field)
        raise InputError(field, error.value, error.wrong, error.allowed, error.where) from None


class Conflict(Exception):
    """What somebody else has changed meanwhile."""

    def __init__(self, what: str, by_whom: str) -> None:
        self.what, self.by_whom = what, by_whom
        super().__init__(f"{what}: {by_whom}")


class Doubtful(Exception):
    """Values that are stored only once they are confirmed; `doubts` say why."""

    def __init__(self, doubts: Sequence[Any]) -> None:
        self.doubts = tuple(doubts)
        super().__init__(*(one.field for one in self.doubts))


class WeatherUnavailable(Exception):
    """A weather service gave no usable answer.

    retry_after_s : when to ask again [s]; None: asking again is no use
    kind : the service's own code of the problem; empty where it gave none
    """

    def __init__(
        self, provider: str, reason: str, retry_after_s: float | None = None, kind: str = ""
    ) -> None:
        self.provider, self.reason = provider, reason
        self.retry_after_s, self.kind = retry_after_s, kind
        super().__init__(f"{provider}: {reason}")

    @property
    def permanent(self) -> bool:
        return self.retry_after_s is None


class DeliveryFailed(Exception):
    """A notice did not go out; permanent means that trying again is no use, gone that nobody is
    there any more and never will be."""

    def __init__(self, channel: str, reason: str, permanent: bool, gone: bool = False) -> None:
        self.channel, self.reason, self.permanent, self.gone = channel, reason, permanent, gone
        super().__init__(f"{channel}: {reason}")


@dataclass(frozen=True)
class Unknown:
    """A fact that is missing and blocks an answer: a value, never an exception."""

    what: Message
    why: Message
    how_to_get_it: Message

    @property
    def message(self) -> Message:
        values = {"what": self.what, "why": self.why, "how": self.how_to_get_it}
        return Message("unknown", values)
