"""How large a picture says it is, and whether its parts can be what they say: before it is kept.

A few bytes may announce more than a phone can hold while it shows them, and what begins like a
picture need not be one. Of PNG everything is unpacked, piece by piece, and counted; of JPEG and
WebP the headers are read that a browser reads first.
"""

import struct
import zlib
from collections.abc import Iterable

from models.errors import InputError

LONGEST_SIDE = 20_000  # pixels; a panorama of a phone has 16,000
MOST_PIXELS = 64_000_000  # a browser holds four bytes of each
ALLOWED = (
    f"a picture of at most {MOST_PIXELS // 10**6} million pixels, no side above {LONGEST_SIDE}"
)
WHOLE = "a JPEG, PNG or WebP picture that a browser shows"
PIECE = 65_536
# samples of a pixel by the colour type of PNG, and the bits that each may have (ISO 15948, 11.2.1)
PNG_COLOURS = {
    0: (1, (1, 2, 4, 8, 16)),
    2: (3, (8, 16)),
    3: (1, (1, 2, 4, 8)),
    4: (2, (8, 16)),
    6: (4, (8, 16)),
}
# first column and row, steps between columns and rows, of the seven passes (8.2)
ADAM7 = (
    (0, 0, 8, 8),
    (4, 0, 8, 8),
    (0, 4, 4, 8),
    (2, 0, 4, 4),
    (0, 2, 2, 4),
    (1, 0, 2, 2),
    (0, 1, 1, 2),
)
JPEG_FRAMES = {0xC0, 0xC1, 0xC2}  # baseline, extended, progressive: what browsers draw
QUANTISATION, HUFFMAN = 0xDB, 0xC4
KEY_FRAME = b"\x9d\x01\x2a"  # RFC 6386, 9.1
LOSSLESS = 0x2F  # RFC 9649, 3.4


def check(width: int, height: int) -> None:
    """Raises InputError where a side is none, or more than a phone can show."""
    if min(width, height) < 1:
        raise InputError("photo", f"{width} x {height}", "has no size", WHOLE)
    if max(width, height) > LONGEST_SIDE or width * height > MOST_PIXELS:
        raise InputError("photo", f"{width} x {height}", "too many pixels", ALLOWED)


def unfit(what: str) -> InputError:
    return InputError("photo", what, "no picture that could be drawn", WHOLE)


def check_png(header: bytes, data: Iterable[bytes]) -> None:
    """IHDR, and the contents of every IDAT in their order."""
    width, height, depth, colour, packing, filtering, interlaced = struct.unpack(">IIBBBBB", header)
    check(width, height)
    samples, depths = PNG_COLOURS.get(colour, (0, ()))
    if depth not in depths or packing or filtering or interlaced not in (0, 1):
        raise unfit("its header")
    passes = ADAM7 if interlaced else ((0, 0, 1, 1),)
    wanted = sum(
        -(-(height - y) // down) * (1 + -(-(-(-(width - x) // right) * samples * depth) // 8))
        for x, y, right, down in passes
        if x < width and y < height
    )
    unpack, size = zlib.decompressobj(), 0
    try:
        for packed in data:
            full = True
            while (packed or full) and not unpack.eof and size <= wanted:
                piece = unpack.decompress(packed, PIECE)
                packed, full = unpack.unconsumed_tail, len(piece) == PIECE
                size += len(piece)
    except zlib.error:
        raise unfit("its data") from None
    if size != wanted:
        raise unfit(f"{size} bytes of {wanted}")


def check_jpeg(frame: int, header: bytes, tables: set[int], scanned: int) -> None:
    """The frame's marker and header, which tables stand before its end, and bytes of its scans."""
    if frame not in JPEG_FRAMES:
        raise unfit(f"a frame of kind {frame:#x}")
    bits, height, width, colours = struct.unpack_from(">BHHB", header)
    if bits not in (8, 12) or colours not in (1, 3, 4) or len(header) != 6 + 3 * colours:
        raise unfit("its header")
    check(width, height)
    # of each block of 8 x 8 at least one bit is told
    if (
        not {QUANTISATION, HUFFMAN} <= tables
        or scanned * 8 < (width // 8) * (height // 8)
        or (not scanned)
    ):
        raise unfit(f"{scanned} bytes for {width} x {height}")


def check_webp(kind: bytes, body: bytes) -> None:
    """One chunk that draws, or tells the size of the canvas; a frame of an animation in itself."""
    if kind == b"VP8 ":
        tag = int.from_bytes(body[:3], "little")
        if tag & 1 or body[3:6] != KEY_FRAME or tag >> 5 > len(body) - 10:
            raise unfit("its frame")
        width, height = struct.unpack_from("<HH", body, 6)
        check(width & 0x3FFF, height & 0x3FFF)
    elif kind == b"VP8L":
        bits = struct.unpack_from("<I", body, 1)[0]
        if body[0] != LOSSLESS or bits >> 29:
            raise unfit("its frame")
        check((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1)
    elif kind == b"VP8X":
        width, height = (int.from_bytes(body[at : at + 3], "little") for at in (4, 7))
        check(width + 1, height + 1)
    elif kind == b"ANMF":
        at, drawn = 16, False
        while at + 8 <= len(body):
            inner, size = struct.unpack_from("<4sI", body, at)
            check_webp(inner, body[at + 8 : at + 8 + size])
            drawn = drawn or inner in (b"VP8 ", b"VP8L")
            at += 8 + size + size % 2
        if not drawn:
            raise unfit("a frame of its animation")
