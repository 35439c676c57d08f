"""One question at a time: refreshes of one place at once make one request."""

import threading
from concurrent.futures import Future, ThreadPoolExecutor

import pytest

from models.errors import WeatherUnavailable
from service.weather import in_flight
from service.weather.in_flight import InFlight


@pytest.fixture
def waiting(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """One entry for everybody who waits for an answer that somebody else has asked for."""
    entries: list[str] = []

    class Counted(Future[int]):
        def result(self, timeout: float | None = None) -> int:
            entries.append(threading.current_thread().name)
            return super().result(timeout)

    monkeypatch.setattr(in_flight, "Future", Counted)
    return entries


def held_until_shared(waiting: list[str], sharing: int, calls: list[int]) -> int:
    pause = threading.Event()
    while len(waiting) < sharing:
        pause.wait(0.005)
    calls.append(1)
    return 42


def test_four_refreshes_of_one_place_make_one_request(waiting: list[str]) -> None:
    flight: InFlight[int] = InFlight()
    calls: list[int] = []
    with ThreadPoolExecutor(4) as pool:
        asked = [
            pool.submit(flight.ask, "yard", lambda: held_until_shared(waiting, 3, calls))
            for _ in range(4)
        ]
        assert [one.result() for one in asked] == [42] * 4
    assert calls == [1]


def test_the_next_refresh_asks_anew(waiting: list[str]) -> None:
    flight: InFlight[int] = InFlight()
    calls: list[int] = []
    for _ in range(2):
        flight.ask("yard", lambda: held_until_shared(waiting, 0, calls))
    assert calls == [1, 1]


def test_a_failure_is_shared_too(waiting: list[str]) -> None:
    flight: InFlight[int] = InFlight()

    def down() -> int:
        held_until_shared(waiting, 2, [])
        raise WeatherUnavailable("somebody", "down", 60.0)

    with ThreadPoolExecutor(3) as pool:
        asked = [pool.submit(flight.ask, "yard", down) for _ in range(3)]
        for one in asked:
            with pytest.raises(WeatherUnavailable, match="down"):
                one.result()


def test_after_a_crash_whoever_waited_asks_for_himself(waiting: list[str]) -> None:
    flight: InFlight[int] = InFlight()
    calls: list[int] = []

    def crash() -> int:
        held_until_shared(waiting, 1, calls)
        raise ZeroDivisionError

    started = threading.Event()

    def first() -> int:
        started.set()
        return crash()

    with ThreadPoolExecutor(2) as pool:
        broken = pool.submit(flight.ask, "yard", first)
        started.wait()
        patient = pool.submit(flight.ask, "yard", lambda: 7)
        with pytest.raises(ZeroDivisionError):
            broken.result()
        assert patient.result() == 7
    assert flight.ask("yard", lambda: 8) == 8, "nothing is kept of it"


def test_two_places_are_asked_about_one_after_the_other() -> None:
    flight: InFlight[int] = InFlight()
    at_once: list[int] = []
    inside = threading.Semaphore(1)

    def alone() -> int:
        at_once.append(int(inside.acquire(blocking=False)))
        threading.Event().wait(0.01)
        inside.release()
        return 1

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda key: flight.ask(key, alone), range(4)))
    assert at_once == [1] * 4
