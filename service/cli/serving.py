"""A server or a clock in this process: started, marked as in use, stopped."""

import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from types import FrameType
from typing import TYPE_CHECKING

from models.errors import InputError
from service import logs, machine
from service.cli import failing
from service.settings import Settings

if TYPE_CHECKING:
    from service.authority import Keeper
    from service.store import Store
    from service.weather.provider import Provider

ANSWERS_S = 3  # how long a stop waits for answers under way


LEAVE_S = 8.0  # after the signal the process is gone by then


def run(
    settings: Settings,
    store: "Store",
    weather: "Provider",
    greeting: str,
    timezone: str,
    keeper: "Keeper | None" = None,
) -> None:
    """Serve until a signal; the clock runs beside and is stopped after.

    greeting : printed once it listens; timezone : of a shop that is opened now
    keeper : of certificates, where it speaks https itself
    """
    import uvicorn

    from service.actions.shop import set_up_shop
    from service.app import create_app
    from service.cli import connections
    from service.cli.https import told_plainly

    machine.few_heaps()
    # not before: two threads that import at once may meet a module that is half there
    threading.Thread(target=warm, daemon=True).start()

    class PromptServer(uvicorn.Server):
        def handle_exit(self, sig: int, frame: FrameType | None) -> None:
            machine.leave_within(LEAVE_S)
            super().handle_exit(sig, frame)

    with store.unit_of_work() as session:
        set_up_shop.open_shop(session, datetime.now(UTC), timezone)
    app = create_app(settings, store, weather)
    room = connections.room()
    try:
        made = machine.listening(settings.host, settings.port)
    except OSError as error:
        where, wrong = f"{settings.host}:{settings.port}", error.strerror or "taken"
        raise InputError("port", where, wrong, "--port and a free one") from None
    listening = connections.Door(made, room)
    config = connections.config(
        listening,
        app,
        ssl_context_factory=(lambda *_: keeper.context()) if keeper else None,
        timeout_graceful_shutdown=ANSWERS_S,
    )
    with ExitStack() as stack:
        stack.enter_context(listening)
        stack.enter_context(running_clock(settings, store, weather))
        stack.enter_context(listening_at(settings, store))
        if keeper:
            stack.enter_context(told_plainly(app, settings))
        print(greeting, flush=True)
        PromptServer(config).run(sockets=[listening])


def on_the_network(settings: Settings, *, https: bool = False) -> Settings:
    """The same, listening on every address and told of by the one that phones nearby reach."""
    try:
        address = machine.network_address()
    except OSError:
        wrong, allowed = "this machine is in no network", "a network, or --host and an address"
        raise InputError("lan", None, wrong, allowed) from None
    scheme = "https" if https else "http"
    told = settings.public_address or f"{scheme}://{address}:{settings.port}"
    return replace(settings, host="0.0.0.0", public_address=told)


FIRST_OWNER = "No other machine is answered until the shop has an owner. This link makes one, once:"


def owner_link(
    settings: Settings, store: "Store", *, always: bool = False, words: str = FIRST_OWNER
) -> str:
    """The link, and its square where another phone reaches it; nothing once somebody has joined."""
    from service.actions.people.join import invite_owner
    from service.pages import qr
    from service.queries import people

    with store.unit_of_work() as session:
        if people.anybody(session) and not always:
            return ""
        path = f"/join/{invite_owner(session, datetime.now(UTC))}"
    link = settings.address + path
    scanned = qr.address(settings, settings.address, path)
    return "\n".join(filter(None, (words, link, qr.printed(scanned))))


@contextmanager
def in_shop(store: "Store", name: str) -> Iterator[None]:
    """Work in the shop of a name; of no name in the server's own."""
    from service.queries import shops
    from service.store.shops import ALL, FIRST, within

    with within(ALL), store.reading() as session:
        found = [one.id for one in shops.named(session, name)] if name else [FIRST]
        known = ", ".join(one.name for one in shops.all_shops(session)) or "none yet: serve it once"
    if len(found) != 1:
        wrong = "several are called so" if found else "no shop is called so"
        raise InputError("shop", name, wrong, f"one of {known}")
    with within(found[0]):
        yield


def greeting(settings: Settings, store: "Store", *, lan: bool) -> str:
    """Where it is; the owner's link as long as there is none, else the square of the address."""
    link = owner_link(settings, store)
    more = link or (square(settings) if lan else "")
    return f"castclock is at {settings.address}\n{more}".strip()


def square(settings: Settings) -> str:
    """The address as a phone reads it off the terminal; nothing where no other machine reaches."""
    from service.pages import qr

    return qr.printed(qr.address(settings, settings.address, "/"))


def _leave(*_: object) -> None:
    machine.leave_within(LEAVE_S)
    sys.exit(0)


@contextmanager
def running_clock(settings: Settings, store: "Store", weather: "Provider") -> Iterator[None]:
    from scheduler.clock import Clock
    from scheduler.cores import Cores
    from scheduler.jobs import Rounds

    logs.set_up(settings.log_level, settings.log_format)
    # Otherwise the system ends the process before the clock has stopped.
    signal.signal(signal.SIGTERM, _leave)
    cores = Cores(settings)
    clock = Clock(Rounds(settings, store, weather, cores=cores))
    clock.start()
    try:
        yield
    except KeyboardInterrupt:
        pass
    finally:
        cores.stop()
        clock.stop()
        store.close()


@contextmanager
def listening_at(settings: Settings, store: "Store") -> Iterator[None]:
    """What instruments say at the broker is heard, where one is set."""
    if settings.broker is None:
        yield
        return
    try:
        from scheduler.broker import Ears
    except ModuleNotFoundError as error:
        wrong, allowed = f"{error.name} is not installed", "pip install 'castclock[mqtt]', or none"
        raise InputError("mqtt_url", "(not shown)", wrong, allowed) from None
    ears = Ears(settings.broker, store)
    ears.start()
    try:
        yield
    finally:
        ears.stop()


@contextmanager
def holding(settings: Settings) -> Iterator[None]:
    """Mark a SQLite database as in use, so that no restore is done under a running program."""
    from service.store import backup as copies

    with ExitStack() as stack:
        if settings.database_url.startswith("sqlite"):
            stack.enter_context(copies.in_use(copies.sqlite_file(settings.database_url)))
        yield


@contextmanager
def opened(settings: Settings) -> Iterator["Store"]:
    """The database of a command; trouble that it has is told in one line."""
    from service.queries import limits
    from service.store import Store

    with failing.database(settings):
        store = Store(settings.database_url)
        store.ask = limits.asked(settings.limits)
        yield store


def bring_up_to_date(settings: Settings, store: "Store") -> None:
    """The tables of this program, and a word of what became of those that were there."""
    from service.store import backup as copies

    if told := copies.upgrade(settings, store):
        print(told, flush=True)
    with holding(settings):
        store.upgrade()  # of a new database, and one that another process made meanwhile


def refuse_other_tables(store: "Store") -> None:
    """For who changes none: `serve` does."""
    from service.store import head

    if (found := store.revision()) != head():
        wrong, allowed = "not at the schema of this program", f"{head()}: serve it once"
        raise InputError("database", found, wrong, allowed)


def weather_of(settings: Settings) -> "Provider":
    from service.weather import services

    return services.from_settings(settings)


def warm() -> None:
    """Compile, or load, the kernels before the first piece asks for them."""
    from importlib.resources import as_file, files

    from models.planning.timeline import project
    from service import scenario_file
    from service.cli import scenario_air

    with as_file(files("service") / "demo_data") as folder:
        file = scenario_file.read(folder / "heron-bench.toml")
        now = file.asked_at or file.scenario.placement.at
        project(file.scenario, scenario_air.of(file, None, now), now)
