"""The page for whoever writes a script tells all that the OpenAPI document says."""

import gzip

from fastapi import FastAPI
from starlette.testclient import TestClient

from tests.api.test_document import operations
from tests.support.phone import Phone

HEAVIEST = 30_000  # bytes when packed


def test_every_address_stands_on_it_and_leads_to_its_fields(
    app: FastAPI, client: TestClient
) -> None:
    phone = Phone(client)
    page = phone.open("/scripts")
    assert page.alone == []
    document = app.openapi()
    for method, path, operation in operations(document):
        assert f"{method} {path}" in page.text
        wanted = f"#{operation['operationId']}"
        assert sum(link.endswith(wanted) for link in page.links) == 1, wanted
    nouns = {link.partition("about=")[2].partition("#")[0] for link in page.links} - {""}
    for noun in nouns:
        page = phone.open(f"/scripts?about={noun}")
        assert phone.status == 200
        assert page.alone == []
        assert not [link for link in page.links if "//" in link]
        assert len(gzip.compress(page.source.encode())) < HEAVIEST
        inner = {link for link in page.links if link.startswith("#")}
        assert [link for link in inner if f'id="{link[1:]}"' not in page.source] == []


def test_fields_words_and_errors_of_a_pour_are_told(client: TestClient) -> None:
    page = Phone(client).open("/scripts?about=pours")
    for told in (
        "concrete_C",
        "not yet | open | closing",
        "shade | wind break | fog",
        "behind the question mark",
        "whole number at least 1, at most 500, 100 where it is left out",
        "Newest first",
        "Refused with 400, 401, 403, 404, 408, 409, 412, 413, 421, 422, 431, 500, 503",
    ):
        assert told in page.text, told


def test_what_is_called_otherwise_is_refused(client: TestClient) -> None:
    phone = Phone(client)
    page = phone.open("/scripts?about=tables")
    assert phone.status == 422
    assert "pours" in page.text
