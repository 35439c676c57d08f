"""https by an authority of the shop's own: who trusts it connects; it vouches for homes alone."""

import os
import ssl
import stat
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx2
import pytest
import uvicorn
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from fastapi import FastAPI
from starlette.testclient import TestClient

from models.errors import InputError
from service import authority, machine, secret
from service.actions.people.join import invite_owner
from service.authority import EARLIER, LASTS, LEAF_LASTS, RENEWED_BEFORE, Keeper, own
from service.cli.https import ToldPlainly, check, keeper
from service.settings import Settings
from service.signed_in import SECURE_COOKIE
from service.store import Store
from tests.cli.test_serving import COMMAND, PATIENCE_S
from tests.support.command import castclock
from tests.support.mqtt_broker import until
from tests.support.phone import Page
from tests.support.ports import free_port

NOW = datetime.now(UTC).replace(microsecond=0)  # clients look at their own clock
HOSTS = ("127.0.0.1", "localhost", "shop.local")


@contextmanager
def served(app: FastAPI, kept: Keeper) -> Iterator[str]:
    made = uvicorn.Config(
        app, port=0, log_level="error", ws="none", ssl_context_factory=lambda *_: kept.context()
    )
    server = uvicorn.Server(made)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    end = time.monotonic() + PATIENCE_S
    while not server.started and time.monotonic() < end:
        time.sleep(0.02)
    yield f"https://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join(PATIENCE_S)


def trusting(folder: Path) -> ssl.SSLContext:
    """Who trusts this authority and no other in the world."""
    found = authority.held(str(folder))
    assert found is not None
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.load_verify_locations(cadata=found.public_bytes(Encoding.DER))
    return context


def shown(kept: Keeper, client: ssl.SSLContext, host: str) -> x509.Certificate:
    """What the server shows to a client, without a network between them; raises what it refuses."""
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    server = kept.context().wrap_bio(to_server, to_client, server_side=True)
    asking = client.wrap_bio(to_client, to_server, server_hostname=host)
    for _ in range(4):
        for side in (asking, server):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
    told = asking.getpeercert(binary_form=True)
    assert told is not None
    return x509.load_der_x509_certificate(told)


def of(folder: Path, hosts: tuple[str, ...] = HOSTS, now: datetime = NOW) -> Keeper:
    return Keeper(str(folder), own(str(folder), "bench", NOW), lambda: hosts, lambda: now)


def test_who_trusts_it_signs_in_by_https_and_the_cookie_is_for_https_alone(
    tmp_path: Path, app: FastAPI, store: Store, now: datetime
) -> None:
    with store.unit_of_work() as session:
        link = f"/join/{invite_owner(session, now)}"
    with served(app, of(tmp_path)) as site:
        with httpx2.Client(base_url=site, verify=trusting(tmp_path)) as client:
            sheet = Page(client.get(link).text).form(link)
            fields = {**sheet.fields, "name": "Owner", "password": "three dry words"}
            cookie = client.post(sheet.action, data=fields).headers["set-cookie"]
            assert cookie.startswith(f"{SECURE_COOKIE}=")
            assert "; Secure" in cookie
            named = site.replace("127.0.0.1", "localhost")
            assert client.get(f"{named}/healthz").status_code == 200
        with httpx2.Client(base_url=site) as world, pytest.raises(httpx2.ConnectError):
            world.get("/healthz")


def test_it_vouches_for_homes_alone_even_if_somebody_took_its_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = ["192.168.1.20", "10.1.2.3", "fd00::1", "shop.local", "a.home.arpa", "localhost"]
    foreign = ["shop.example", "local.example", "8.8.8.8", "192.0.2.2", "2001:db8::1", "local.", ""]
    assert authority.vouched([*asked, *foreign, "SHOP.local"]) == sorted(asked)
    kept = of(tmp_path)
    assert shown(kept, trusting(tmp_path), "shop.local").subject
    monkeypatch.setattr(authority, "vouched", list)
    for host in ("shop.example", "192.0.2.2", "2001:db8::1"):
        stolen = of(tmp_path, (host,))
        with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
            shown(stolen, trusting(tmp_path), host)


def test_a_leaf_near_its_end_is_made_anew_while_the_server_runs(tmp_path: Path) -> None:
    client, at = trusting_made(tmp_path), [NOW - LEAF_LASTS + RENEWED_BEFORE - timedelta(days=1)]
    kept = Keeper(str(tmp_path), own(str(tmp_path), "bench", NOW), lambda: HOSTS, lambda: at[0])
    context = kept.context()
    kept.context = lambda: context  # type: ignore[method-assign]  # of one server that goes on
    first = shown(kept, client, "localhost")
    assert shown(kept, client, "localhost") == first
    at[0] = NOW  # 29 days before its end
    second = shown(kept, client, "localhost")
    assert second.serial_number != first.serial_number
    assert second.not_valid_after_utc == at[0] + LEAF_LASTS
    assert second.issuer == first.issuer
    again = of(tmp_path, now=at[0])  # a restart shows the same
    assert shown(again, client, "localhost") == second


def trusting_made(folder: Path) -> ssl.SSLContext:
    own(str(folder), "bench", NOW)
    return trusting(folder)


def test_a_new_address_is_in_the_next_leaf(tmp_path: Path) -> None:
    hosts, at = ["192.168.1.20"], [NOW]
    kept = Keeper(str(tmp_path), own(str(tmp_path), "bench", NOW), lambda: hosts, lambda: at[0])
    context = kept.context()
    kept.context = lambda: context  # type: ignore[method-assign]
    client = trusting(tmp_path)
    assert shown(kept, client, "192.168.1.20").subject
    hosts[:] = ["192.168.1.77"]
    at[0] += timedelta(minutes=2)
    assert shown(kept, client, "192.168.1.77").subject


def test_an_address_however_it_is_written_and_a_name_of_any_letters_is_in_one_leaf(
    tmp_path: Path,
) -> None:
    """Each look made another leaf, as no leaf held the address as it was written."""
    hosts = ("fe80::1%eth0", "FD00:0:0:0::1", "werkstätte.local", "shop.local")
    assert authority.vouched(hosts) == [
        "fd00::1",
        "fe80::1",
        "shop.local",
        "xn--werksttte-02a.local",
    ]
    kept = of(tmp_path, hosts)
    assert kept.leaf() is kept.leaf()
    assert shown(kept, trusting(tmp_path), "fd00::1").subject
    assert authority.vouched(["ä" * 70 + ".local"]) == []


def test_a_full_disk_fails_no_connection_while_the_old_leaf_is_good(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at = [NOW - LEAF_LASTS + RENEWED_BEFORE - timedelta(days=1)]
    kept = Keeper(str(tmp_path), own(str(tmp_path), "bench", NOW), lambda: HOSTS, lambda: at[0])
    context, client = kept.context(), trusting(tmp_path)
    kept.context = lambda: context  # type: ignore[method-assign]
    first = shown(kept, client, "localhost")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    at[0] = NOW
    with monkeypatch.context() as disk:
        disk.setattr(secret, "write", full)
        assert shown(kept, client, "localhost") == first
    at[0] += timedelta(minutes=2)
    assert shown(kept, client, "localhost") != first


def test_no_connection_waits_for_a_name_to_be_looked_up() -> None:
    found, go_on = ["10.0.0.1"], threading.Event()

    def look() -> list[str]:
        told = list(found)
        assert go_on.wait(PATIENCE_S)
        return told

    go_on.set()
    lately = machine.Lately(look)
    go_on.clear()
    found[:] = ["10.0.0.2"]
    assert lately() == ["10.0.0.1"]
    assert lately() == ["10.0.0.1"]
    go_on.set()
    until(lambda: lately() == ["10.0.0.2"])


def test_the_authority_is_made_once_and_its_key_is_the_owners_alone(tmp_path: Path) -> None:
    first, second = of(tmp_path), own(str(tmp_path), "other", NOW + timedelta(days=400))
    assert shown(first, trusting(tmp_path), "localhost")
    certificate = second.certificate
    assert certificate == authority.held(str(tmp_path))
    assert certificate.not_valid_before_utc == NOW - EARLIER
    assert certificate.not_valid_after_utc == NOW + LASTS
    for file in tmp_path.glob("castclock-*.pem"):
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
    with pytest.raises(InputError, match="too old"):
        own(str(tmp_path), "bench", NOW + LASTS - timedelta(days=1))
    (tmp_path / authority.AUTHORITY).write_text("not a key")
    with pytest.raises(InputError, match="not to be read"):
        own(str(tmp_path), "bench", NOW)
    assert authority.held(str(tmp_path)) is None


def test_a_leaf_of_another_authority_is_not_shown(tmp_path: Path) -> None:
    of(tmp_path).context()
    (tmp_path / authority.AUTHORITY).unlink()
    assert shown(of(tmp_path), trusting_made(tmp_path), "localhost")


def test_the_page_tells_the_fingerprint_and_gives_the_certificate_not_the_key(
    settings: Settings, client: TestClient
) -> None:
    assert client.get("/authority").status_code == 404
    assert client.get("/authority/castclock.crt").status_code == 404
    made = own(settings.data, "bench", NOW)
    text = client.get("/authority").text
    signs = [f"<code>{one}</code>" for one in authority.fingerprint(made.certificate).split(":")]
    assert len(signs) == 32
    assert " ".join(signs) in text
    given = client.get("/authority/castclock.crt")
    assert given.headers["content-type"] == "application/x-x509-ca-cert"
    assert given.content == made.certificate.public_bytes(Encoding.DER)


@pytest.mark.parametrize("below", ["", "/cast"])
def test_by_plain_http_a_phone_is_told_of_it_and_led_on(
    settings: Settings, app: FastAPI, below: str
) -> None:
    own(settings.data, "bench", NOW)
    to = f"https://shop.local:8000{below}"
    plain = TestClient(ToldPlainly(app, to), follow_redirects=False)

    def led(path: str, ask: Callable[..., httpx2.Response] = plain.get) -> str:
        answer = ask(path)
        assert answer.status_code == 303
        return str(answer.headers["location"])

    assert led(f"{below}/") == f"{below}/authority"
    assert led(f"{below}/shop") == f"{to}/shop"
    assert led("/sign-in", plain.post) == f"{to}/sign-in"
    assert led("/authority", plain.post) == f"{to}/authority"
    assert led("/authorityless") == f"{to}/authorityless"
    if not below:
        assert plain.get("/authority").status_code == 200
        assert plain.get("/authority/castclock.crt").status_code == 200
        assert plain.get("/static/castclock.css").status_code == 200


@pytest.mark.parametrize(
    ("told", "wrong"),
    [
        ({"public_address": "https://shop.example"}, "not an address of a home network"),
        ({"public_address": "https://198.51.100.7:8000"}, "not an address of a home network"),
        ({"public_address": "http://shop.local"}, "not by https"),
        ({"public_address": "https://shop.local", "port": 65535}, "no port after it"),
    ],
)
def test_what_it_cannot_vouch_for_is_refused_before_anything_listens(
    told: dict[str, str | int], wrong: str
) -> None:
    with pytest.raises(InputError, match=wrong):
        check(Settings(**told))  # type: ignore[arg-type]
    check(Settings(public_address="https://192.168.1.20:8000"))


def test_the_server_of_a_network_speaks_https_and_tells_of_it_by_the_next_port(
    tmp_path: Path,
) -> None:
    port = free_port()
    told = {"CASTCLOCK_PUBLIC_ADDRESS": f"https://localhost:{port}", "CASTCLOCK_WEATHER": "none"}
    process = subprocess.Popen(
        [COMMAND, "serve", "--https", "--data", tmp_path, "--port", str(port)],
        env={**os.environ, **told},
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout is not None
        printed = ""
        for line in process.stdout:
            printed += line
            if "/join/" in line:
                break
        found = authority.held(str(tmp_path))
        assert found is not None
        assert authority.fingerprint(found) in printed
        assert f"http://localhost:{port + 1}/authority" in printed
        site = f"https://localhost:{port}"
        with httpx2.Client(verify=trusting(tmp_path)) as client:
            assert client.get(f"{site}/healthz").status_code == 200
            plain = client.get(f"http://localhost:{port + 1}/authority/castclock.crt")
            assert plain.content == found.public_bytes(Encoding.DER)
    finally:
        process.terminate()
        process.wait(PATIENCE_S)
        if process.stdout:
            process.stdout.close()


def test_the_names_of_this_machine_are_in_it(tmp_path: Path) -> None:
    kept = keeper(Settings(data=str(tmp_path), public_address="https://shop.local", host="0.0.0.0"))
    leaf = kept.leaf().certificate
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert {"shop.local", "localhost", "127.0.0.1"} <= {str(one.value) for one in names}


@pytest.mark.parametrize(
    ("options", "address"),
    [
        ((), "http://127.0.0.1:8000/join/"),
        (("--lan", "--port", "8123"), "http://192.168.1.20:8123/join/"),
        (("--lan", "--https"), "https://192.168.1.20:8000/join/"),
        (("--https", "--root-path", "/cast"), "https://192.168.1.20:8000/cast/join/"),
    ],
)
def test_a_further_link_of_an_owner_leads_where_the_server_is(
    settings: Settings,
    store: Store,
    monkeypatch: pytest.MonkeyPatch,
    options: tuple[str, ...],
    address: str,
) -> None:
    monkeypatch.setattr(machine, "network_address", lambda: "192.168.1.20")
    monkeypatch.delenv("CASTCLOCK_PUBLIC_ADDRESS", raising=False)
    ended = castclock("owner", "--data", settings.data, *options)
    assert ended.code == 0, ended.err
    assert f"\n{address}" in ended.out
    assert store is not None
