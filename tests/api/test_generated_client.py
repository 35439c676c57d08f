"""A client that a generator makes of the document logs a pour and reads its windows, typed."""

import asyncio
import importlib
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from typing import Any

import httpx
import pytest
from fastapi import FastAPI
from typer.testing import CliRunner

from service.actions.weather.refresh_forecasts import refresh_forecast
from service.cli import app as command_line
from service.store import Store
from tests.support.shop import Bench, Sky

CONFIG = """\
content_type_overrides:
  image/jpeg: application/octet-stream
  image/png: application/octet-stream
  image/webp: application/octet-stream
post_hooks: []
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The package of a new client, made by the generator as anybody would call it."""
    folder = tmp_path_factory.mktemp("client")
    document = folder / "openapi.json"
    document.write_text(CliRunner().invoke(command_line, ["openapi"]).output)
    (folder / "config.yaml").write_text(CONFIG)
    found = subprocess.run(
        [sys.executable, "-m", "openapi_python_client", "generate", "--meta", "none"]
        + ["--path", str(document), "--config", str(folder / "config.yaml")]
        + ["--output-path", str(folder / "made_client")],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert found.returncode == 0, found.stdout + found.stderr
    assert "will not be generated" not in found.stdout, found.stdout
    sys.path.insert(0, str(folder))
    yield "made_client"
    sys.path.remove(str(folder))
    for name in [name for name in sys.modules if name.startswith("made_client")]:
        del sys.modules[name]


class Made:
    """The client over the app, and what it is made of."""

    def __init__(self, package: str, app: FastAPI) -> None:
        self._package = package
        self.models = importlib.import_module(f"{package}.models")
        self._client = importlib.import_module(f"{package}.client").Client("http://localhost")
        transport = httpx.ASGITransport(app, client=("127.0.0.1", 50_000))
        self._client.set_async_httpx_client(
            httpx.AsyncClient(transport=transport, base_url="http://localhost")
        )

    def ask(self, tag: str, operation: str, *path: int, **named: Any) -> Any:
        """What an operation answers, read into its type."""
        module = importlib.import_module(f"{self._package}.api.{tag}.{operation}")
        return asyncio.run(module.asyncio_detailed(*path, client=self._client, **named))


@pytest.fixture
def api(made: str, app: FastAPI) -> Made:
    return Made(made, app)


def test_a_made_client_logs_a_pour_and_reads_its_windows(
    api: Made, bench: Bench, now: datetime, store: Store, sky: Sky
) -> None:
    refresh_forecast(store, now, bench.place_id, sky)
    wanted = api.models.PourCreate(
        mix_id=bench.mix_id,
        piece_id=bench.piece_id,
        place_id=bench.place_id,
        placed_at=now - timedelta(hours=1),
        concrete_c=15.0,
        measures=[api.models.MeasureKind.WIND_BREAK],
    )
    logged = api.ask("pours", "add_pour", body=wanted, idempotency_key="one pour")
    assert logged.status_code == 201
    assert isinstance(logged.parsed, api.models.PourRead)
    assert logged.parsed.placed_at == now - timedelta(hours=1)
    assert logged.parsed.poured.place.kind is api.models.PlaceKind.COVERED

    told = api.ask("pours", "read_projection", logged.parsed.id).parsed
    assert isinstance(told, api.models.ProjectionRead)
    assert {type(step.state) for step in told.steps} == {api.models.StepState}
    strip = next(step for step in told.steps if step.step == "strip")
    assert isinstance(strip.state, StrEnum)
    assert strip.state is api.models.StepState.NOT_YET
    assert isinstance(strip.earliest.p90, datetime)
    assert strip.earliest.p90.utcoffset() is not None
    assert strip.earliest.p50.astimezone(UTC) > now
    assert strip.earliest.p50 < strip.earliest.p90


def test_a_made_client_reads_what_is_refused(api: Made, bench: Bench) -> None:
    wanted = api.models.PourCreate(mix_id=bench.mix_id, piece_id=4711, place_id=bench.place_id)
    refused = api.ask("pours", "add_pour", body=wanted)
    assert refused.status_code == 422
    assert isinstance(refused.parsed, api.models.Problem)
    assert [(one.field, one.value) for one in refused.parsed.errors] == [("piece_id", 4711)]


def test_a_made_client_sends_a_reading_by_its_kind(api: Made, pour_id: int, now: datetime) -> None:
    kind = api.models.ReadingKind.CONCRETE
    wanted = api.models.ReadingCreate(kind=kind, value_c=18.5, at=now)
    api.ask("readings", "add_reading", pour_id, body=wanted)
    listed = api.ask("readings", "list_readings", pour_id).parsed
    assert [(one.kind, one.value_c) for one in listed] == [(kind, 18.5)]
