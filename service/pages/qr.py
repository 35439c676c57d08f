"""The address of a page as a square that a phone reads off paper."""

from io import StringIO
from ipaddress import ip_address
from urllib.parse import urlsplit

import segno
from markupsafe import Markup

from service.settings import Settings


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
    svg = code.svg_inline(border=4, omitsize=True, light="#fff", svgclass="qr", title=text)
    return Markup(svg)  # segno escapes the title; all else is its own


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
