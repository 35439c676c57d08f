"""A phone without signal: what it shows, what it keeps, what becomes of it when signal is back.

Its server and its browser are processes of their own, killed as power and pockets kill them."""

import base64
import hashlib
import os
import re
import signal
import ssl
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import trustme
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import Browser, BrowserContext, BrowserType, Error, Page, expect

from models.records import Photo, Place, Reading, StepDone
from service.actions.people.join import invite_owner
from service.actions.pours.log_pour import log_pour
from service.actions.pours.record_reading import record_reading
from service.actions.shop.set_up_shop import open_shop
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.app import create_app
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.settings import Settings
from service.store import Store
from tests.browser.conftest import CHROMIUM, FLAGS, STARTS_WITHIN_S, served
from tests.support.ports import free_port
from tests.support.rows import newest, only, rows
from tests.support.shop import Sky, furnish

pytestmark = pytest.mark.browser
HOUR = timedelta(hours=1)
PERMISSION = re.compile(r"\b(open(?! (then|air))|now|safe to|ready|closing)\b", re.IGNORECASE)
KEPT = """async (names) => {
  const stores = (await caches.keys()).filter((one) => one.startsWith("castclock-pages"));
  if (!stores.length) return false;
  const kept = await (await caches.open(stores[0])).keys();
  const paths = kept.map((one) => new URL(one.url).pathname);
  return names.every((one) => paths.includes(one));
}"""


@dataclass
class Server:
    """castclock in a process of its own, at an address that stays."""

    data: Path
    certificate: Path
    authority: ssl.SSLContext
    port: int = 0
    process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"https://127.0.0.1:{self.port}"

    def start(self) -> None:
        if not self.port:
            self.port = free_port()
        words = ["-m", "tests.support.small_server", self.data, f"{self.port}", self.certificate]
        self.process = subprocess.Popen([sys.executable, *map(str, words)])
        end = time.monotonic() + STARTS_WITHIN_S
        while time.monotonic() < end:
            with suppress(OSError):
                urllib.request.urlopen(f"{self.address}/healthz", context=self.authority)
                return
            time.sleep(0.1)
        raise AssertionError("the server did not start")

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
        self.process = None


@dataclass
class Phone:
    """A browser with a folder of its own, in which it finds what it kept."""

    browser: BrowserType
    folder: Path
    address: str
    flags: list[str]
    context: BrowserContext | None = None
    complaints: list[str] = field(default_factory=list)

    def wake(self, **more: Any) -> Page:
        self.context = self.browser.launch_persistent_context(
            self.folder,
            executable_path=CHROMIUM,
            args=[*FLAGS, *self.flags],
            base_url=self.address,
            viewport={"width": 390, "height": 844},
            timezone_id="America/Chicago",
            locale="en-GB",
            **more,
        )
        page = self.context.pages[0]
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        return page

    def kill(self) -> None:
        """As the system does it to an app: at once, and without a word."""
        assert self.context is not None
        for entry in Path("/proc").iterdir():
            with suppress(OSError):
                words = (entry / "cmdline").read_bytes() if entry.name.isdecimal() else b""
                if f"--user-data-dir={self.folder}".encode() in words:
                    os.kill(int(entry.name), signal.SIGKILL)
        with suppress(Error):
            self.context.close()
        (self.folder / "SingletonLock").unlink(missing_ok=True)


def until(page: Page, script: str, values: object) -> None:
    """Look until the answer of an asynchronous script is yes."""
    end = time.monotonic() + STARTS_WITHIN_S
    while time.monotonic() < end:
        with suppress(Error):  # Today asks for itself anew while it works
            if page.evaluate(script, values):
                return
        page.wait_for_timeout(100)
    raise AssertionError(script)


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ssl.SSLContext, str]:
    """A certificate of an authority of the test: file, who trusts it, and the mark of its key."""
    authority = trustme.CA()
    issued = authority.issue_cert("127.0.0.1")
    file = tmp_path_factory.mktemp("authority") / "server.pem"
    issued.private_key_and_cert_chain_pem.write_to_path(file)
    trusting = ssl.create_default_context()
    authority.configure_trust(trusting)
    leaf = x509.load_pem_x509_certificate(issued.cert_chain_pems[0].bytes())
    key = leaf.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return file, trusting, base64.b64encode(hashlib.sha256(key).digest()).decode()


@pytest.fixture
def server(
    bench_pour: int, tmp_path: Path, certificate: tuple[Path, ssl.SSLContext, str]
) -> Iterator[Server]:
    assert bench_pour
    made = Server(tmp_path, certificate[0], certificate[1])
    made.start()
    yield made
    made.kill()


@pytest.fixture
def phone(
    chromium: Browser, server: Server, tmp_path: Path, certificate: tuple[Path, ssl.SSLContext, str]
) -> Iterator[Phone]:
    flags = [f"--ignore-certificate-errors-spki-list={certificate[2]}"]
    made = Phone(chromium.browser_type, tmp_path / "phone", server.address, flags)
    yield made
    made.kill()
    assert made.complaints == []


@pytest.fixture
def bench_pour(store: Store) -> int:
    """A piece poured three hours ago."""
    now = datetime.now(UTC)
    with store.unit_of_work() as session:
        open_shop(session, now, "America/Chicago").units = "si"
    bench = furnish(store, now)
    names = ("mix_id", "piece_id", "place_id", "mould_id", "sealer_id")
    values = {name: getattr(bench, name) for name in names}
    with store.unit_of_work() as session:
        pour = PourCreate(**values, placed_at=now - 3 * HOUR, concrete_C=15.0)
        return log_pour(session, now, pour).id


@pytest.fixture
def on_the_bench(
    chromium: Browser, bench_pour: int, settings: Settings, store: Store
) -> Iterator[Page]:
    """The form of a reading on plain http, where no worker is, opened with signal."""
    refresh_forecast(store, datetime.now(UTC), only(store, Place).id, Sky())
    with served(create_app(settings, store, Sky())) as address:
        context = chromium.new_context(base_url=address, service_workers="block", locale="en-GB")
        page = context.new_page()
        page.goto(f"/pours/{bench_pour}/reading/add")
        page.get_by_label("In the concrete").check()
        page.wait_for_function("() => localStorage.getItem('castclock.ahead')")
        yield page
        context.close()


def typed(page: Page, value: str) -> None:
    page.locator("#value_C").fill(value)
    page.get_by_role("button", name="Save the reading").click()


def test_a_clock_that_is_an_hour_wrong_is_put_right_and_one_that_was_set_is_asked_about(
    on_the_bench: Page, store: Store
) -> None:
    page = on_the_bench
    page.clock.install(time=datetime.now(UTC) + HOUR)  # from here on it is an hour ahead
    page.reload()
    page.get_by_label("In the concrete").check()
    page.context.set_offline(True)
    typed(page, "11")
    expect(page.locator("#signal")).to_contain_text("Kept on this phone")
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("#signal")).to_contain_text("✓ Sent")
    expect(page.locator("#waits")).to_be_hidden()
    (right,) = rows(store, Reading)
    assert abs(right.at - datetime.now(UTC)) < HOUR / 12

    page.context.set_offline(True)
    page.get_by_label("In the concrete").check()
    typed(page, "12")
    expect(page.locator("#signal")).to_contain_text("Kept on this phone")
    tapped = datetime.now(UTC)
    page.clock.set_system_time(datetime.now(UTC))  # as a phone does once it hears the network
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("#waits")).to_contain_text("1 entry needs you")
    page.locator("#waits a").click()
    expect(page.get_by_text("At which hour was it?")).to_be_visible()
    hours = page.locator("[data-asks] button")
    expect(hours).to_have_count(2)
    hours.first.click()  # as it was by the server, had the clock been set after the tap
    expect(page.get_by_text("Nothing waits")).to_be_visible()
    asked = newest(store, Reading)
    assert (asked.value_C, len(rows(store, Reading))) == (12.0, 2)
    assert abs(asked.at - tapped) < HOUR / 12


def test_a_page_that_stood_open_without_signal_is_an_old_page(on_the_bench: Page) -> None:
    page = on_the_bench
    page.clock.install()
    page.locator(".sub a").click()
    expect(page.get_by_text("probably").first).to_be_visible()
    card = page.locator("main .step").first
    assert card.locator("[data-live]").first.is_visible()
    page.wait_for_load_state("networkidle")  # its scripts have to be there before the signal goes
    page.context.set_offline(True)
    page.clock.fast_forward("10:00")
    expect(page.get_by_role("alert").first).to_contain_text("No signal. Seen")
    expect(page.get_by_role("alert").first).to_contain_text("10 minutes ago")
    assert "seen then: " in card.inner_text()
    assert not card.locator("[data-live]").first.is_visible()
    assert "today" not in page.locator("main").inner_text()


def test_a_phone_without_room_says_so_and_keeps_what_was_typed(
    on_the_bench: Page, store: Store
) -> None:
    page = on_the_bench
    devtools = page.context.new_cdp_session(page)
    origin = page.evaluate("location.origin")
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
    page.context.set_offline(True)
    typed(page, "11")
    expect(page.locator("#signal")).to_contain_text("Not kept, not sent")
    expect(page.locator("#value_C")).to_have_value("11")
    page.context.set_offline(False)
    page.get_by_role("button", name="Save the reading").click()
    expect(page.get_by_text("Undo").first).to_be_visible()
    (stored,) = rows(store, Reading)
    assert stored.value_C == 11.0


def test_logged_without_signal_browser_and_server_killed_sent_once_in_order(
    bench_pour: int, server: Server, phone: Phone, store: Store, picture: Any, tmp_path: Path
) -> None:
    with store.unit_of_work() as session:
        link = f"/join/{invite_owner(session, datetime.now(UTC))}"
    page = phone.wake()
    page.goto(link)
    page.get_by_label("Your name").fill("Ann")
    page.get_by_label("Password", exact=True).fill("three small words")
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("link", name="Ann")).to_be_visible()

    piece = f"/pours/{bench_pour}"
    forms = [f"{piece}/{one}" for one in ("reading/add", "steps", "photos")]
    until(page, KEPT, ["/", "/pour", "/waiting", piece, *forms])
    devtools = page.context.new_cdp_session(page)
    assert devtools.send("Page.getInstallabilityErrors")["installabilityErrors"] == []

    server.kill()  # no signal
    page.goto(piece)
    expect(page.get_by_role("alert").first).to_contain_text("No signal. Seen")
    assert not PERMISSION.search(page.locator("main .step").first.inner_text())
    before = datetime.now(UTC)
    page.get_by_role("link", name="+ Add").click()
    for value in ("11", "12"):
        page.get_by_label("In the concrete").check()
        page.locator("#value_C").fill(value)
        page.get_by_role("button", name="Save the reading").click()
        expect(page.locator("#signal")).to_contain_text("Kept on this phone")
    after = datetime.now(UTC)
    page.goto(f"{piece}/photos")
    file = tmp_path / "slab.jpg"
    file.write_bytes(picture("jpg"))
    page.set_input_files("#chosen", file)
    page.get_by_role("button", name="Keep the photo").click()
    expect(page.locator("#signal")).to_contain_text("Kept on this phone")
    page.goto(f"{piece}/steps")
    page.get_by_role("button", name="Done: Strip").click()
    expect(page.locator("#waits")).to_contain_text("4 entries wait on this phone")

    phone.kill()
    page = phone.wake()
    page.goto("/")
    expect(page.get_by_role("alert").first).to_contain_text("No signal. Seen")
    expect(page.locator("#waits")).to_contain_text("4 entries wait on this phone")

    # meanwhile another phone logs as well
    with store.unit_of_work() as session:
        wanted = ReadingCreate(kind="concrete", value_C=13.0)
        record_reading(session, datetime.now(UTC), bench_pour, wanted)

    server.start()
    page.goto("/waiting")
    # the browser was killed before it had written its cookie down
    page.get_by_role("link", name="sign in").first.click()
    page.get_by_label("Your name").fill("Ann")
    page.get_by_label("Password", exact=True).fill("three small words")
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator("#outbox li.card")).to_have_count(1)
    other, *readings = rows(store, Reading)
    assert other.value_C == 13.0
    assert [one.value_C for one in readings] == [11.0, 12.0]
    assert all(before <= one.at <= after for one in readings)
    assert readings[0].at < readings[1].at
    assert [one.logged_by for one in readings] == ["Ann", "Ann"]
    (photo,) = rows(store, Photo)
    assert after <= photo.at <= datetime.now(UTC)

    refused = page.locator("#outbox li.card")
    expect(refused).to_contain_text("Not taken")
    tapped = refused.locator("time").get_attribute("datetime")
    assert tapped is not None
    refused.get_by_role("button", name="Mend it").click()
    expect(page.get_by_role("button", name="It is done")).to_be_visible()
    page.goto(f"{piece}/steps")  # left as it was: the next tap there has an hour of its own
    page.wait_for_load_state("networkidle")
    assert page.evaluate("sessionStorage.getItem('castclock.mending')") is None
    page.goto("/waiting")
    refused.get_by_role("button", name="Mend it").click()
    page.get_by_role("button", name="It is done").click()
    expect(page.get_by_text("✓").first).to_be_visible()
    (done,) = rows(store, StepDone)
    assert done.at == datetime.fromisoformat(tapped)
    page.goto("/waiting")
    expect(page.get_by_text("Nothing waits")).to_be_visible()

    # who signs out is asked about what waits, and leaves nothing to be read
    server.kill()
    page.goto(f"{piece}/note/add")
    expect(page.get_by_text("was not seen on this phone")).to_be_visible()
    page.goto(f"{piece}/reading/add")
    page.get_by_label("In the concrete").check()
    page.locator("#value_C").fill("2000")
    page.get_by_role("button", name="Save the reading").click()
    expect(page.locator("#signal")).to_contain_text("Kept on this phone")
    server.start()
    page.goto("/me")
    expect(page.locator("#waits")).to_contain_text("1 entry needs you")
    page.get_by_role("button", name="Sign out", exact=True).click()
    expect(page.get_by_text("It is thrown away when you sign out")).to_be_visible()
    page.get_by_role("button", name="Throw it away and sign out").click()
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    assert page.evaluate("async () => (await self.outbox.all()).length") == 0
    until(page, KEPT, ["/waiting"])  # by the page of the sign-in; it tells nothing of the shop
    server.kill()
    for path in ("/", piece, "/pour"):
        page.goto(path)
        expect(page.get_by_text("was not seen on this phone")).to_be_visible()
        assert "Ann" not in page.content()
