"""Who may what: one table of every address, the first row that fits. A test asks every route."""

import re
from dataclasses import dataclass
from functools import cache

NOBODY, VIEWER, HELPER, OWNER = range(4)
RANKS = {"viewer": VIEWER, "helper": HELPER, "owner": OWNER}
API = "/api/v1"
ASKER = "castclock.asker"  # where a request keeps who sent it
TROUBLED = "castclock.trouble"  # and what the database had, so that nobody could say
WRITES = "POST PUT PATCH DELETE"
ALL = f"GET {WRITES}"

# methods, address (of pages and, after /api/v1, of the interface alike; * is one part of it, ** any
# rest), the least that one has to be
TABLE: tuple[tuple[str, str, int], ...] = (
    # before somebody is in; the calendar has a secret of its own, health tells nothing of the shop
    ("GET", "/static/**", NOBODY),
    ("GET", "/worker.js", NOBODY),
    ("GET", "/manifest.webmanifest", NOBODY),
    ("GET", "/waiting", NOBODY),  # of the phone's own, nothing of the shop's
    ("GET", "/healthz", NOBODY),
    ("GET", "/readyz", NOBODY),
    ("GET", "/calendar/*", NOBODY),
    ("GET", "/help/**", NOBODY),
    ("GET POST", "/sign-in/**", NOBODY),
    ("GET", "/s/*", NOBODY),  # a name, to whoever holds the sticker
    ("GET", "/c/**", NOBODY),  # care of one piece, to whoever has its sheet
    ("GET POST", "/join/*", NOBODY),
    ("GET", "/authority/**", NOBODY),  # public by its nature; a phone needs it before it trusts
    ("POST", "/reader", NOBODY),
    # everybody's own
    ("POST", "/sign-out", VIEWER),
    (ALL, "/me/**", VIEWER),
    # what only looks, though it is sent
    ("POST", "/tonight", VIEWER),
    ("POST", "/pours/*/what-if", VIEWER),
    # the shop: people, rules, addresses, and what is taken away from everybody
    (ALL, "/shop/people/**", OWNER),
    (ALL, "/shop/broker/**", OWNER),
    ("GET", "/shop/settings", OWNER),
    (WRITES, "/shop/settings/**", OWNER),
    ("POST PATCH", "/shop", OWNER),
    ("GET POST", "/shop/delete", OWNER),
    ("POST", "/shop/calendar-address", OWNER),
    ("POST", "/shop/*/*/archive", OWNER),
    ("POST", "/*/*/archive", OWNER),
    ("GET", "/reminders/*/deliveries", OWNER),
    # the work
    (WRITES, "/**", HELPER),
    ("GET", "/**", VIEWER),
)
READINGS = re.compile(
    rf"{API}/(pours|places)/(\d{{1,10}})/readings"
)  # an instrument writes no more


@dataclass(frozen=True)
class Asker:
    """Who sends a request. `machine` is the kind of a token, whose rank says nothing of it."""

    rank: int = NOBODY
    name: str = ""
    person_id: int | None = None
    sign_in_id: int | None = None
    machine: str = ""
    alone: bool = False  # nobody has to sign in here, since nobody has joined
    shop_id: int = 0  # in which shop: of nobody's no row is seen

    @property
    def is_owner(self) -> bool:
        return self.rank == OWNER


def least(method: str, path: str) -> int:
    """The least that one has to be; HEAD is a GET."""
    method = "GET" if method == "HEAD" else method
    own = path.removeprefix(API)
    return next(
        (rank for methods, address, rank in _table() if method in methods and address.match(own)),
        OWNER,
    )


def may(asker: Asker, method: str, path: str) -> bool:
    """Whether it is allowed; which of the rows an instrument writes to is asked where it is
    written."""
    if asker.machine == "instrument":
        return method == "POST" and READINGS.fullmatch(path) is not None
    if asker.machine == "screen":
        return method in ("GET", "HEAD") and least(method, path) <= VIEWER
    return asker.rank >= least(method, path)


@cache
def _table() -> tuple[tuple[frozenset[str], re.Pattern[str], int], ...]:
    return tuple(
        (frozenset(methods.split()), re.compile(_pattern(address)), rank)
        for methods, address, rank in TABLE
    )


def _pattern(address: str) -> str:
    text = re.escape(address).replace(r"/\*\*", r"(/.*)?").replace(r"\*", "[^/]+")
    return f"{text}$"
