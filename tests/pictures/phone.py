"""A picture as a phone writes it, with what nobody else need know."""

import struct
import zlib

SECRET = b"44.0 N 92.0 W"


def taken_outdoors(kind: str, plain: bytes) -> bytes:
    """The picture held upright, with Exif, place, notes and a tail."""
    if kind == "jpg":
        tiff = struct.pack("<2sHIH", b"II", 42, 8, 2)
        tiff += struct.pack("<HHIHH", 0x0112, 3, 1, 6, 0)
        tiff += struct.pack("<HHII", 0x8825, 4, 1, 64) + SECRET
        parts = (
            (0xE1, b"Exif\0\0" + tiff),
            (0xE1, b"http://ns.adobe.com/xap/1.0/\0" + SECRET),
            (0xED, SECRET),
            (0xFE, SECRET),
        )
        more = b"".join(struct.pack(">BBH", 0xFF, mark, len(x) + 2) + x for mark, x in parts)
        return plain[:2] + more + plain[2:] + plain[:2] + SECRET
    if kind == "png":
        chunks = b"".join(_chunk(name, SECRET) for name in (b"eXIf", b"tEXt", b"iTXt"))
        return plain[:33] + chunks + plain[33:] + SECRET
    body = plain[8:] + b"".join(
        struct.pack("<4sI", name, len(SECRET)) + SECRET + b"\0" for name in (b"EXIF", b"XMP ")
    )
    body = body[:12] + bytes([body[12] | 0b1100]) + body[13:]
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _chunk(name: bytes, content: bytes) -> bytes:
    body = name + content
    return struct.pack(">I", len(content)) + body + struct.pack(">I", zlib.crc32(body))
