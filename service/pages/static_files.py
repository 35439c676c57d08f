"""The files beside the pages: a name tells the content, so a browser keeps them for a year."""

import hashlib
import json
import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Annotated

from fastapi import APIRouter, Path, Response
from starlette.exceptions import HTTPException

KINDS = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".webmanifest": "application/manifest+json",
}
FOLDER = "/static"
HASHED = re.compile(r"(?P<stem>[^.]+)-(?P<digest>[0-9a-f]{12})(?P<kind>\.[a-z]+)")
FOR_EVER = "public, max-age=31536000, immutable"
FOR_NOW = "no-cache"  # asked for by its plain name: see the ETag
IMPORTED = re.compile(rb'"\./([a-z_]+\.js)"')
router = APIRouter()


@dataclass(frozen=True)
class StaticFile:
    content: bytes
    media_type: str
    digest: str


@cache
def held() -> dict[str, StaticFile]:
    """Every file of the folder by its name; read once, they change only with the program."""
    names = (one.name for one in (files("service.pages") / "static").iterdir())
    return {name: _read(name) for name in names if _kind(name) in KINDS}


@cache
def _read(name: str) -> StaticFile:
    """A file; a script asks for others by what they hold as well, so that no two builds mix."""
    content = (files("service.pages") / "static" / name).read_bytes()
    if _kind(name) == ".js":
        content = IMPORTED.sub(lambda found: f'"./{_hashed(found[1].decode())}"'.encode(), content)
    return StaticFile(content, KINDS[_kind(name)], hashlib.sha256(content).hexdigest()[:12])


def _kind(name: str) -> str:
    return "." + name.rpartition(".")[2]


def _hashed(name: str) -> str:
    stem, _, kind = name.rpartition(".")
    return f"{stem}-{_read(name).digest}.{kind}"


def address(name: str) -> str:
    """Where a page finds the file, as it is now."""
    return f"{FOLDER}/{_hashed(name)}"


@router.get(FOLDER + "/{name}")
def static(name: Annotated[str, Path(max_length=60)]) -> Response:
    told = HASHED.fullmatch(name)
    file = held().get(f"{told['stem']}{told['kind']}" if told else name)
    if file is None:
        raise HTTPException(404, "no such file")
    # a page of yesterday asks for yesterday's name: it gets today's file, but not for a year
    lasting = told is not None and told["digest"] == file.digest
    return _answer(file, FOR_EVER if lasting else FOR_NOW)


PARTS = ("hours.js", "outbox.js", "worker_push.js", "worker_pages.js")  # of the worker


@cache
def _worker() -> StaticFile:
    """The service worker with the names of all it keeps; another build is another worker."""
    templates = (files("service.pages") / "templates").iterdir()
    build = hashlib.sha256(b"".join(one.read_bytes() for one in sorted(templates, key=str)))
    for name in sorted(held()):
        build.update(held()[name].content)
    told = {
        "BUILD": build.hexdigest()[:12],
        "FILES": [_beside(name) for name in sorted(held()) if not name.startswith("worker")],
        "PARTS": [_beside(name) for name in PARTS],
    }
    head = "".join(f"const {name} = {json.dumps(value)};\n" for name, value in told.items())
    content = head.encode() + held()["worker.js"].content
    return StaticFile(content, KINDS[".js"], hashlib.sha256(content).hexdigest()[:12])


def _beside(name: str) -> str:
    return address(name).removeprefix("/")


@router.get("/worker.js")
def worker() -> Response:
    """At the root, for a worker sees no page above its own folder."""
    return _answer(_worker(), FOR_NOW)


@router.get("/manifest.webmanifest")
def manifest() -> Response:
    """What makes an app of the pages on a phone; addresses in it count from the root."""
    return _answer(held()["castclock.webmanifest"], FOR_NOW)


def _answer(file: StaticFile, lasts: str) -> Response:
    """Its tag is weak: the same for what is compressed on the way."""
    headers = {"Cache-Control": lasts, "ETag": f'W/"{file.digest}"'}
    return Response(file.content, media_type=file.media_type, headers=headers)
