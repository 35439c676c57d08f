"""The proxy of the container brings TLS and nothing else is reached from outside."""

import re
from pathlib import Path

import pytest
import yaml

from tests.support.raw import JsonDict

DEPLOY = Path(__file__).parents[2] / "deploy"


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


def test_the_proxy_alone_is_reached_from_outside(services: JsonDict, caddyfile: str) -> None:
    assert [name for name, told in services.items() if "ports" in told] == ["proxy"]
    told = services["proxy"]["environment"]
    assert set(re.findall(r"\{\$(\w+)\}", caddyfile)) == set(told)
    assert told["CASTCLOCK_HOSTNAME"].startswith("${CASTCLOCK_HOSTNAME:?")
    assert len(re.findall(r"^\S.*\{$", caddyfile, re.M)) == 1  # one site, one door
    assert caddyfile.count("reverse_proxy") == 1
    assert "Strict-Transport-Security" in caddyfile


def test_the_proxy_waits_for_no_head_that_never_ends(caddyfile: str) -> None:
    assert re.search(r"\bread_header \d+s\b", caddyfile)
    assert re.search(r"\bmax_header_size 32KB\b", caddyfile)


def test_castclock_knows_its_name_and_believes_its_proxy_who_asks_and_how(
    services: JsonDict,
) -> None:
    """Else every browser would ask from the proxy's address, and cookies would not be secure."""
    told = services["castclock"]["environment"]
    assert told["CASTCLOCK_PUBLIC_ADDRESS"].startswith("https://${CASTCLOCK_HOSTNAME")
    assert told["FORWARDED_ALLOW_IPS"] == "*"


def test_it_is_written_down_how_an_owner_is_made() -> None:
    assert "castclock owner" in (DEPLOY / "compose.yaml").read_text(encoding="utf-8")
    assert "castclock owner" in (DEPLOY.parent / "README.md").read_text(encoding="utf-8")
