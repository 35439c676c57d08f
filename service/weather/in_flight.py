"""One question at a time to one service; who asks the same meanwhile shares the answer."""

from collections.abc import Callable, Hashable
from concurrent.futures import CancelledError, Future
from contextlib import suppress
from threading import Lock
from typing import Generic, TypeVar

from models.errors import WeatherUnavailable

T = TypeVar("T")


class InFlight(Generic[T]):
    """Questions under way. Nothing is kept once an answer is there: the truth is in the store."""

    def __init__(self) -> None:
        self._flights: dict[Hashable, Future[T]] = {}
        self._book = Lock()
        self._one_at_a_time = Lock()

    def ask(self, key: Hashable, work: Callable[[], T]) -> T:
        """The answer of `work`, or of the same question that somebody has asked just before."""
        while True:
            with self._book:
                flight = self._flights.get(key)
                if flight is None:
                    mine = self._flights[key] = Future[T]()
            if flight is None:
                return self._fly(key, mine, work)
            with suppress(CancelledError):
                return flight.result()

    def _fly(self, key: Hashable, mine: Future[T], work: Callable[[], T]) -> T:
        try:
            with self._one_at_a_time:
                answer = work()
            mine.set_result(answer)
            return answer
        except WeatherUnavailable as error:
            mine.set_exception(error)
            raise
        finally:
            mine.cancel()  # after any other failure, so that nobody waits for ever: they ask anew
            with self._book:
                del self._flights[key]
