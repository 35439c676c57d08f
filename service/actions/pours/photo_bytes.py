"""The picture inside an image file: its kind by content, and nothing of what a camera adds.

Of JPEG (ITU T.81), PNG (ISO 15948) and WebP (RFC 9649) only the parts that draw are kept; of
Exif only which way is up. Text, place, maker's notes and whatever follows the end are dropped.
"""

import struct
import zlib
from collections.abc import Iterator

from models.errors import InputError
from service.actions.pours import photo_size

ALLOWED = "a JPEG, PNG or WebP picture"
PNG_START = b"\x89PNG\r\n\x1a\n"
PNG_CHUNKS = {
    b"IHDR",
    b"PLTE",
    b"IDAT",
    b"IEND",
    b"tRNS",
    b"gAMA",
    b"cHRM",
    b"sRGB",
    b"iCCP",
    b"pHYs",
}
WEBP_CHUNKS = {b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"}
WEBP_METADATA_FLAGS = 0b00001100  # flags of VP8X: holds Exif, holds XMP
SOS, EOI, APP0, APP1, APP2, APP14, APP15, COMMENT = (
    0xDA,
    0xD9,
    0xE0,
    0xE1,
    0xE2,
    0xEE,
    0xEF,
    0xFE,
)
FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
EXIF = b"Exif\0\0"
ORIENTATION = 0x0112


def picture_of(content: bytes) -> tuple[str, bytes]:
    """Media type and the bytes that are kept; InputError for what is no whole picture."""
    if not content:
        raise InputError("photo", "0 bytes", "empty", ALLOWED)
    try:
        if content.startswith(b"\xff\xd8\xff"):
            return "image/jpeg", _jpeg(content)
        if content.startswith(PNG_START):
            return "image/png", _png(content)
        if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
            return "image/webp", _webp(content)
    except (IndexError, struct.error):
        raise InputError("photo", f"{len(content)} bytes", "cut short", ALLOWED) from None
    raise InputError("photo", f"{len(content)} bytes", "of another kind", ALLOWED)


def _jpeg(content: bytes) -> bytes:
    out, frame, header, scanned = [content[:2]], 0, b"", 0
    tables: set[int] = set()
    for marker, begin, end in _segments(content):
        body = content[begin + 4 : end]
        if marker in FRAMES and not frame:
            frame, header = marker, body
        elif marker == SOS:
            scanned += len(body) - struct.unpack_from(">H", content, begin + 2)[0] + 2
        tables.add(marker)
        if marker == APP1 and body.startswith(EXIF):
            out.append(_orientation(body[len(EXIF) :]))
        elif _draws(marker, body):
            out.append(content[begin:end])
        if marker == EOI and frame:
            photo_size.check_jpeg(frame, header, tables, scanned)
            return b"".join(out)
    raise InputError("photo", f"{len(content)} bytes", "holds no picture", ALLOWED)


def _draws(marker: int, body: bytes) -> bool:
    if marker == COMMENT or APP0 < marker <= APP15:
        return marker == APP14 or (marker == APP2 and body.startswith(b"ICC_PROFILE\0"))
    return True


def _segments(content: bytes) -> Iterator[tuple[int, int, int]]:
    """Marker, begin and end of each part up to the end of the first picture."""
    at = 2
    while True:
        if content[at] != 0xFF:
            raise InputError("photo", f"byte {at}", "not JPEG inside", ALLOWED)
        marker = content[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker == EOI:
            yield marker, at, at + 2
            return
        end = at + 2 + int(struct.unpack_from(">H", content, at + 2)[0])
        if end < at + 4 or end > len(content):
            raise IndexError
        if marker == SOS:
            end = _end_of_scan(content, end)
        yield marker, at, end
        at = end


def _end_of_scan(content: bytes, at: int) -> int:
    """Where the next marker stands that is neither a stuffed zero nor a restart."""
    while True:
        at = content.find(b"\xff", at)
        if at < 0:
            raise IndexError
        following = content[at + 1]
        if following not in (0x00, *range(0xD0, 0xD8)):
            return at
        at += 2


def _orientation(tiff: bytes) -> bytes:
    """An Exif segment that holds the orientation alone; nothing where none is told."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None:
        return b""
    try:
        at = struct.unpack_from(f"{order}I", tiff, 4)[0]
        count = struct.unpack_from(f"{order}H", tiff, at)[0]
        entries = [struct.unpack_from(f"{order}HHIH", tiff, at + 2 + 12 * k) for k in range(count)]
    except struct.error:
        return b""
    up = next((value for tag, _, _, value in entries if tag == ORIENTATION), 0)
    if not 1 < up <= 8:
        return b""
    body = EXIF + struct.pack(">2sHIHHHIHHI", b"MM", 42, 8, 1, ORIENTATION, 3, 1, up, 0, 0)
    return struct.pack(">BBH", 0xFF, APP1, len(body) + 2) + body


def _png(content: bytes) -> bytes:
    out, at, data = [PNG_START], len(PNG_START), list[bytes]()
    while True:
        size = int(struct.unpack_from(">I", content, at)[0])
        kind = content[at + 4 : at + 8]
        end = at + 12 + size
        if end > len(content):
            raise IndexError
        if kind in PNG_CHUNKS:
            if zlib.crc32(content[at + 4 : end - 4]) != int.from_bytes(content[end - 4 : end]):
                raise photo_size.unfit(f"byte {at}")
            out.append(content[at:end])
        if kind == b"IDAT":
            data.append(content[at + 8 : end - 4])
        if kind == b"IEND":
            break
        at = end
    if not data or out[1][4:8] != b"IHDR":
        raise InputError("photo", f"{len(content)} bytes", "holds no picture", ALLOWED)
    photo_size.check_png(out[1][8:-4], data)
    return b"".join(out)


def _webp(content: bytes) -> bytes:
    stated = int(struct.unpack_from("<I", content, 4)[0]) + 8
    if stated > len(content):
        raise IndexError
    out, at, kinds = [], 12, set[bytes]()
    while at + 8 <= stated:
        kind, size = struct.unpack_from("<4sI", content, at)
        end = at + 8 + size + size % 2
        if at + 8 + size > stated:
            raise IndexError
        chunk = bytearray(content[at:end])
        if kind == b"VP8X":
            chunk[8] &= ~WEBP_METADATA_FLAGS & 0xFF
        if kind in WEBP_CHUNKS:
            photo_size.check_webp(kind, bytes(chunk[8 : 8 + size]))
            out.append(bytes(chunk))
            kinds.add(kind)
        at = end
    body = b"WEBP" + b"".join(out)
    if not kinds & {b"VP8 ", b"VP8L", b"ANMF"}:
        raise InputError("photo", f"{len(content)} bytes", "holds no picture", ALLOWED)
    return b"RIFF" + struct.pack("<I", len(body)) + body
