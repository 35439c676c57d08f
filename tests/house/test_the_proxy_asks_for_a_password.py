"""Until people sign in the proxy's password is the door: nothing passes it but what is named."""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
import yaml
from fastapi import FastAPI
from starlette.testclient import TestClient

from service.store import Store
from tests.support.raw import JsonDict

DEPLOY = Path(__file__).parents[2] / "deploy"
OPEN = {"/calendar/{token}.ics"}  # its address is a secret of its own


@pytest.fixture
def services() -> JsonDict:
    told: dict[str, JsonDict] = yaml.safe_load(
        (DEPLOY / "compose.yaml").read_text(encoding="utf-8")
    )
    return told["services"]


@pytest.fixture
def caddyfile() -> str:
    lines = (DEPLOY / "Caddyfile").read_text(encoding="utf-8").splitlines()
    return "\n".join(line for line in lines if not line.strip().startswith("#"))


def passes(caddyfile: str, path: str) -> bool:
    """Whether the proxy hands a path on without asking for the password."""
    ((name, pattern),) = re.findall(r"@(\w+) not path_regexp (\S+)\n", caddyfile)
    asked = re.findall(r"basic_auth(?: @(\w+))? \{\n\s+(\S+) (\S+)\n\s+\}", caddyfile)
    assert asked == [(name, "{$CASTCLOCK_USER}", "{$CASTCLOCK_PASSWORD_HASH}")]
    return re.search(pattern, path) is not None


def every_path(routes: Iterable[object], prefix: str = "") -> Iterator[str]:
    for route in routes:
        inner = getattr(route, "routes", None) or getattr(
            getattr(route, "original_router", None), "routes", None
        )
        if inner is not None:
            more = getattr(getattr(route, "include_context", None), "prefix", "")
            yield from every_path(inner, prefix + more)
        elif hasattr(route, "path"):
            yield prefix + route.path


def test_no_route_is_reached_without_the_password_but_the_calendars(
    app: FastAPI, caddyfile: str
) -> None:
    paths = set(every_path(app.routes))
    assert len(paths) > 60
    assert "/readyz" in paths
    assert any(path.endswith("/shop") for path in paths)
    token = "Zk3" * 10 + "_-"
    filled = {path: re.sub(r"\{\w+\}", token, path) for path in paths}
    assert {path for path, asked in filled.items() if passes(caddyfile, asked)} == OPEN


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/shop",
        "/api/v1/shop",
        "/healthz",
        "/readyz",
        "/calendar/",
        "/calendar/x.ics/../shop",
        "/calendar/../shop",
        "/calendar/%2e%2e/shop.ics",
        "/x/calendar/aaaaaaaaaaaaaaaaaaaaaaaa.ics",
        "/calendar/aaaaaaaaaaaaaaaaaaaaaaaa.ics/more",
        "/calendar/.ics",
    ],
)
def test_no_way_round_leads_past_it(caddyfile: str, path: str) -> None:
    assert not passes(caddyfile, path)


def test_the_calendars_own_address_passes(
    store: Store, app: FastAPI, caddyfile: str, client: TestClient
) -> None:
    del store, app
    assert passes(caddyfile, client.get("/api/v1/shop").json()["calendar_path"])


def test_the_proxy_alone_is_reached_from_outside_and_starts_with_a_password_only(
    services: JsonDict, caddyfile: str
) -> None:
    assert [name for name, told in services.items() if "ports" in told] == ["proxy"]
    told = services["proxy"]["environment"]
    wanted = set(re.findall(r"\{\$(\w+)\}", caddyfile))
    assert wanted == set(told)
    assert told["CASTCLOCK_PASSWORD_HASH"].startswith("${CASTCLOCK_PASSWORD_HASH:?")
    assert told["CASTCLOCK_HOSTNAME"].startswith("${CASTCLOCK_HOSTNAME:?")
    name = services["castclock"]["environment"]["CASTCLOCK_PUBLIC_ADDRESS"]
    assert name.startswith("https://${CASTCLOCK_HOSTNAME")  # the name castclock answers to
    assert len(re.findall(r"^\S.*\{$", caddyfile, re.M)) == 1  # one site, one door
    assert caddyfile.count("reverse_proxy") == 1


def test_it_is_written_down_how_the_password_is_made() -> None:
    assert "caddy hash-password" in (DEPLOY / "compose.yaml").read_text(encoding="utf-8")
    readme = (DEPLOY.parent / "README.md").read_text(encoding="utf-8")
    assert "password" in readme
