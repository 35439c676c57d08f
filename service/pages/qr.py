"""The address of a page as a square that a phone reads off paper."""

import re
from io import StringIO
from ipaddress import ip_address
from urllib.parse import urlsplit

import segno
from markupsafe import Markup

from service.settings import Settings

QUIET = 4  # modules, ISO/IEC 18004


def address(settings: Settings, base: str, path: str) -> str:
    """Where another phone finds the page; nothing where only this machine does.

    base : the address under which this page was asked for
    """
    root = settings.public_address or base
    return "" if _only_here(urlsplit(root).hostname or "") else root.rstrip("/") + path


def drawn(text: str) -> Markup:
    """The square, black on white whatever the theme, with its quiet edge; nothing of nothing."""
    if not text:
        return Markup()
    code = segno.make(text, error="m", micro=False)
    svg = code.svg_inline(border=QUIET, omitsize=True, light="#fff", svgclass="qr", title=text)
    return Markup(svg)  # segno escapes the title; all else is its own


def path(text: str) -> tuple[int, str]:
    """The square to be drawn at a size of one's own: how many modules it is wide with its quiet
    edge (four modules, ISO/IEC 18004), and the outline of the dark ones. A quarter of it may be
    dirty or torn."""
    code = segno.make(text, error="q", micro=False)
    rows = [bytes(row) for row in code.matrix_iter(border=QUIET)]
    runs = (
        f"M{run.start()} {y}h{run.end() - run.start()}v1H{run.start()}z"
        for y, row in enumerate(rows)
        for run in re.finditer(b"\x01+", row)
    )
    return len(rows), "".join(runs)


def printed(text: str) -> str:
    """The same in letters, for a terminal; nothing of nothing."""
    if not text:
        return ""
    out = StringIO()
    segno.make(text, error="m", micro=False).terminal(out, compact=True)
    return out.getvalue()


def _only_here(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host in ("", "localhost")
