"""A real server in a thread, and Debian's Chromium as a phone in front of it."""

import fcntl
import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright

from service.store import Store
from tests.support.kept_shops import copied
from tests.support.once import EmptyShop, Routed
from tests.support.shown import fill, shown

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
STARTS_WITHIN_S = 30.0
expect.set_options(timeout=1000 * STARTS_WITHIN_S)  # of a page, on a machine that does more


@contextmanager
def served(app: FastAPI) -> Iterator[str]:
    """The address of an app."""
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error", ws="none"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    end = time.monotonic() + STARTS_WITHIN_S
    while not server.started and time.monotonic() < end:
        time.sleep(0.02)
    assert server.started, "the server did not start"
    port = server.servers[0].sockets[0].getsockname()[1]
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(STARTS_WITHIN_S)
    assert not thread.is_alive(), "the server did not stop"


@pytest.fixture
def site(app: FastAPI) -> Iterator[str]:
    """The address of the app, served for the length of one test."""
    with served(app) as address:
        yield address


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory, empty_shop: EmptyShop) -> Path:
    """The invented shop on its evening, filled once for all workers of a run."""
    folder = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent
    file = folder / "evening.sqlite3"
    with (folder / "evening.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not file.exists():
            being_filled = folder / "being-filled.sqlite3"
            store = empty_shop.copied_to(f"sqlite:///{being_filled}")
            fill(store)
            store.close()
            copied(being_filled, file)
    return file


@pytest.fixture
def evening(tmp_path: Path, store: Store, filled: Path, routed: Routed) -> Iterator[str]:
    """The address of the invented shop on its evening."""
    copied(filled, Path(str(store.engine.url.database)))
    with served(routed.with_state_of(shown(tmp_path, store))) as address:
        yield address


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


def _serious(said: ConsoleMessage) -> bool:
    """Errors of script or policy; a form that is sent back with 422, or asked about with 409, is
    none, nor is a phone that the test has taken off the net."""
    expected = ("422 (Unprocessable", "409 (Conflict", "ERR_INTERNET_DISCONNECTED")
    return said.type == "error" and not any(one in said.text for one in expected)


@pytest.fixture
def phone(chromium: Browser, site: str) -> Iterator[Callable[..., Page]]:
    """Makes a page on a phone of 390 x 844; whatever the page complains of fails the test."""
    opened: list[Any] = []
    complaints: list[str] = []

    def make(
        width: int = 390,
        script: bool = True,
        scheme: Literal["light", "dark"] = "light",
        worker: bool = False,
    ) -> Page:
        context = chromium.new_context(
            base_url=site,
            viewport={"width": width, "height": 844},
            is_mobile=True,
            has_touch=True,
            java_script_enabled=script,
            color_scheme=scheme,
            service_workers="allow" if worker else "block",  # it fetches all files and many pages
            timezone_id="America/Chicago",
            locale="en-GB",
        )
        opened.append(context)
        page = context.new_page()
        page.on("console", lambda said: complaints.append(said.text) if _serious(said) else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        return page

    yield make
    for context in opened:
        context.close()
    assert complaints == []
