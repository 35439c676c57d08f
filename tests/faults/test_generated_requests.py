"""What the document of the interface promises is so, for requests nobody thought of."""

from pathlib import Path

import pytest

from service.api import health
from tests.faults import generated_requests
from tests.support.once import EmptyShop

SAMPLE = 160  # `python tests/faults/generated_requests.py` asks a hundred thousand times
ONE_IN = 9  # operations; to learn what fits one costs more than to ask


def test_no_generated_request_is_answered_otherwise_than_the_document_tells(
    tmp_path: Path, empty_shop: EmptyShop
) -> None:
    found = generated_requests.run(
        tmp_path, SAMPLE, begin=3, store=empty_shop.copied_to, one_in=ONE_IN
    )
    assert found.requests >= SAMPLE
    assert {200, 404, 422} <= set(found.answers)
    assert found.failures == {}


def test_a_fault_of_the_program_is_found(
    tmp_path: Path, empty_shop: EmptyShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else the test above could not fail."""

    def broken(_: object) -> None:
        raise KeyError("a fault")

    monkeypatch.setattr(generated_requests, "something_of_every_kind", lambda _: None)
    monkeypatch.setattr(health, "weather_jobs", broken)
    found = generated_requests.run(tmp_path, 1, only="/api/v1/health", store=empty_shop.copied_to)
    assert [operation for operation, _ in found.failures] == ["GET /api/v1/health"]
    assert found.answers[500] == 1
