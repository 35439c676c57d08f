"""Photos are kept with the pour: judged by content, without the place they were taken at."""

import struct
import threading
import zlib
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import select

from models.errors import InputError
from models.records import Photo
from service.actions.pours import keep_photo as photos
from service.actions.pours import photo_size
from service.actions.pours.log_pour import log_pour
from service.actions.pours.photo_bytes import picture_of
from service.nouns.pour import PourCreate
from service.queries.pours import photos_of
from service.queries.rows import NoSuchRow
from service.store import Store, backup
from tests.support.shop import Bench
from tests.support.thorough import some

SECRET = b"44.0 N 92.0 W"
SLABS = Path(__file__).parents[1] / "pictures"
SLAB = (SLABS / "slab.jpg").read_bytes()
KINDS = {"jpg": "image/jpeg", "png": "image/png", "webp": "image/webp"}
Picture = Callable[[str], bytes]


@pytest.fixture
def pour_of(furnished: Callable[[Store, datetime], Bench], now: datetime) -> Callable[[Store], int]:
    """A pour in any store."""

    def poured(store: Store) -> int:
        bench = furnished(store, now)
        with store.unit_of_work() as session:
            return log_pour(
                session,
                now,
                PourCreate(
                    mix_id=bench.mix_id,
                    piece_id=bench.piece_id,
                    place_id=bench.place_id,
                    placed_at=now,
                ),
            ).id

    return poured


def keep(store: Store, now: datetime, pour_id: int, content: bytes, **more: str) -> int:
    with store.unit_of_work() as session:
        return photos.keep_photo(session, now, pour_id, content, at=now, **more).id


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_is_given_back_as_the_kind_it_is(
    any_store: Store, pour_of: Callable[[Store], int], now: datetime, picture: Picture, kind: str
) -> None:
    pour_id = pour_of(any_store)
    photo_id = keep(any_store, now, pour_id, picture(kind), step="strip", note="west face")
    with any_store.reading() as session:
        kept = photos.photo_of(session, pour_id, photo_id)
        assert (kept.media_type, kept.step, kept.note) == (KINDS[kind], "strip", "west face")
        assert kept.size_bytes == len(kept.content) > 100


@pytest.mark.parametrize("kind", KINDS)
def test_where_it_was_taken_is_not_kept(taken_outdoors: Picture, kind: str) -> None:
    told = taken_outdoors(kind)
    assert SECRET in told
    media_type, kept = picture_of(told)
    assert media_type == KINDS[kind]
    assert SECRET not in kept
    assert b"GPS" not in kept
    assert b"xap" not in kept


def test_which_way_is_up_is_kept(taken_outdoors: Picture, picture: Picture) -> None:
    """Exif 2.32: tag 0x0112, type 3 (SHORT), count 1; in Motorola order after the byte mark."""
    _, kept = picture_of(taken_outdoors("jpg"))
    assert struct.pack(">HHIH", 0x0112, 3, 1, 6) in kept
    _, plain = picture_of(picture("jpg"))
    assert b"Exif" not in plain


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_without_anything_added_stays_byte_for_byte(picture: Picture, kind: str) -> None:
    media_type, kept = picture_of(picture(kind))
    assert (media_type, kept) == (KINDS[kind], picture(kind))


def test_a_kept_png_is_still_whole(taken_outdoors: Picture) -> None:
    """ISO 15948: every chunk carries a CRC-32 over its type and data; IEND is the last."""
    _, kept = picture_of(taken_outdoors("png"))
    at, names = 8, []
    while at < len(kept):
        size, name = struct.unpack_from(">I4s", kept, at)
        crc = struct.unpack_from(">I", kept, at + 8 + size)[0]
        assert crc == zlib.crc32(kept[at + 4 : at + 8 + size])
        names.append(name)
        at += 12 + size
    assert (names[0], names[-1]) == (b"IHDR", b"IEND")


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"a note",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"<html><script>alert(1)</script>",
        b"GIF89a" + 40 * b"\0",
        b"\xff\xd8\xff\xd9",
        b"\xff\xd8\xff",
        b"\x89PNG\r\n\x1a\n",
        b"RIFF\xff\xff\xff\x7fWEBP",
        b"RIFF\x04\x00\x00\x00WEBP",
        b"\xff\xd8\xff\xfe\x00\x00" + 60 * b"x",
    ],
)
def test_what_is_no_picture_is_refused_in_words(content: bytes) -> None:
    with pytest.raises(InputError, match="JPEG, PNG or WebP"):
        picture_of(content)


def png(
    width: int,
    height: int,
    *,
    depth: int = 8,
    kind: int = 2,
    interlaced: int = 0,
    data: bytes = b"",
) -> bytes:
    """A picture of the colour of the night, 8 bits a sample; or of this `data`."""
    size = sum(
        -(-(height - y) // down) * (1 + -(-(width - x) // right) * {2: 3, 6: 4}[kind])
        for x, y, right, down in (photo_size.ADAM7 if interlaced else ((0, 0, 1, 1),))
        if x < width and y < height
    )
    header = struct.pack(">IIBBBBB", width, height, depth, kind, 0, 0, interlaced)
    packed = data or zlib.compress(bytes(min(size, 10**7)))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in ((b"IHDR", header), (b"IDAT", packed), (b"IEND", b""))
    )


@pytest.mark.parametrize("interlaced", [0, 1])
@pytest.mark.parametrize(("width", "height"), [(1, 1), (3, 5), (640, 480), (1200, 1000)])
def test_a_png_that_can_be_drawn_is_kept(width: int, height: int, interlaced: int) -> None:
    told = png(width, height, interlaced=interlaced)
    assert picture_of(told) == ("image/png", told)


def sized(kind: str, width: int, height: int) -> bytes:
    """The slab, with a header that announces another size."""
    whole = (SLABS / f"slab.{kind}").read_bytes()
    if kind == "png":
        return png(width, height)
    if kind == "jpg":
        at = whole.index(b"\xff\xc0") + 5
        return whole[:at] + struct.pack(">HH", height, width) + whole[at + 4 :]
    canvas = b"VP8X" + struct.pack("<I", 10) + bytes(4)
    canvas += (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    body = b"WEBP" + canvas + whole[12:]
    return b"RIFF" + struct.pack("<I", len(body)) + body


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("width", "height"), [(60_000, 60_000), (20_001, 8), (9_000, 9_000)])
def test_more_pixels_than_a_phone_can_show_are_refused(kind: str, width: int, height: int) -> None:
    """A PNG of 60,000 x 60,000 was kept."""
    with pytest.raises(InputError, match=r"too many pixels.*64 million"):
        picture_of(sized(kind, width, height))


@pytest.mark.parametrize(
    "content",
    [
        png(64, 64, data=zlib.compress(b"")),
        png(64, 64, data=zlib.compress(bytes(64 * 64 * 3 + 63))),
        png(64, 64, data=zlib.compress(bytes(64 * 64 * 3 + 65))),
        png(64, 64, data=b"a note, and not what it says it is"),
        png(8, 8, data=zlib.compress(bytes(10**7))),
        png(8, 8)[:40] + b"x" + png(8, 8)[41:],
        b"RIFF\x19\0\0\0WEBPICCP\x0d\0\0\0VP8 is no pic",
        b"RIFF\x18\0\0\0WEBPVP8 \x0c\0\0\0only a note.",
        b"RIFF\x18\0\0\0WEBPVP8L\x0c\0\0\0only a note.",
        b"\xff\xd8\xff\xc0\x00\x0b\x08\x00\x10\x00\x10\x01\x01\x11\x00\xff\xd9",
        b"\xff\xd8\xff\xc0\x00\x04no\xff\xda\x00\x02a note\xff\xd9",
        b"\xff\xd8\xff\xc0\x00\x0b\x08\x00\x10\x00\x10\x01\x01\x11\x00\xff\xda\x00\x02note\xff\xd9",
        png(0, 8),
        png(8, 8, depth=3, data=zlib.compress(bytes(80))),
        SLAB.replace(b"\xff\xc0", b"\xff\xc3", 1),  # lossless
        sized("jpg", 4, 4)[: SLAB.index(b"\xff\xda") + 14] + b"\xff\xd9",
        b"RIFF\x24\0\0\0WEBPANMF\x18\0\0\0" + bytes(16) + b"ALPH\0\0\0\0",
    ],
)
def test_what_only_begins_like_a_picture_is_refused(content: bytes) -> None:
    """33 bytes of text were kept as a picture."""
    with pytest.raises(InputError, match=r"photo = .*JPEG, PNG or WebP"):
        picture_of(content)


def test_no_more_is_unpacked_than_was_announced(monkeypatch: pytest.MonkeyPatch) -> None:
    """What would be 10 MB stands behind a header of 200 bytes."""
    unpack, pieces = zlib.decompressobj(), list[int]()

    class Counting:
        eof, unconsumed_tail = False, b""

        def decompress(self, packed: bytes, most: int) -> bytes:
            piece = unpack.decompress(packed, most)
            self.eof, self.unconsumed_tail = unpack.eof, unpack.unconsumed_tail
            pieces.append(len(piece))
            return piece

    monkeypatch.setattr(zlib, "decompressobj", Counting)
    with pytest.raises(InputError, match="no picture that could be drawn"):
        picture_of(png(8, 8, data=zlib.compress(bytes(10**7))))
    assert sum(pieces) <= 2 * photo_size.PIECE


def test_a_jpeg_that_holds_nearly_nothing_of_what_it_announces_is_refused() -> None:
    with pytest.raises(InputError, match="no picture that could be drawn"):
        picture_of(sized("jpg", 4000, 3000))


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_that_was_cut_short_is_refused(picture: Picture, kind: str) -> None:
    whole = picture(kind)
    for length in range(len(whole)):
        with pytest.raises(InputError):
            picture_of(whole[:length])


@given(kind=st.sampled_from(sorted(KINDS)), at=st.integers(0, 600), noise=st.binary(max_size=40))
@settings(max_examples=some(80, 2000), deadline=None)
def test_a_damaged_file_is_a_picture_or_a_clear_error(kind: str, at: int, noise: bytes) -> None:
    whole = (SLABS / f"slab.{kind}").read_bytes()
    try:
        _, kept = picture_of(whole[:at] + noise + whole[at + len(noise) :])
    except InputError:
        return
    assert len(kept) <= len(whole) + len(noise)


def test_a_megabyte_of_restart_marks_is_read_in_one_walk(picture: Picture) -> None:
    """Would not end within the patience of anybody if every mark searched the rest anew."""
    whole = picture("jpg")
    _, kept = picture_of(whole[:-2] + 1_000_000 * b"\xff\xd0" + whole[-2:])
    assert len(kept) == len(whole) + 2_000_000


def test_a_pour_keeps_twelve_and_says_so(
    store: Store, pour_id: int, now: datetime, picture: Picture
) -> None:
    keys = [keep(store, now, pour_id, picture("png")) for _ in range(photos.MOST_OF_A_POUR)]
    with pytest.raises(InputError, match="has 12 already"):
        keep(store, now, pour_id, picture("png"))
    with store.unit_of_work() as session:
        photos.remove_photo(session, pour_id, keys[0])
    keep(store, now, pour_id, picture("png"))


def test_two_phones_at_once_do_not_slip_past_the_limit(
    any_store: Store, pour_of: Callable[[Store], int], now: datetime, picture: Picture
) -> None:
    pour_id = pour_of(any_store)
    for _ in range(photos.MOST_OF_A_POUR - 1):
        keep(any_store, now, pour_id, picture("png"))
    ready, said = threading.Barrier(2), []

    def phone() -> None:
        ready.wait()
        try:
            keep(any_store, now, pour_id, picture("jpg"))
            said.append("kept")
        except InputError as error:
            said.append(error.wrong)

    both = [threading.Thread(target=phone) for _ in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert sorted(said) == ["kept", "the pour has 12 already"]


def test_a_photo_of_the_future_or_of_no_step_is_refused(
    store: Store, pour_id: int, now: datetime, picture: Picture
) -> None:
    with pytest.raises(InputError, match="not a known step"):
        keep(store, now, pour_id, picture("jpg"), step="<script>")
    later = now + timedelta(days=1)
    with store.unit_of_work() as session, pytest.raises(InputError, match="future"):
        photos.keep_photo(session, now, pour_id, picture("jpg"), at=later)


def test_a_photo_of_another_pour_is_not_given(
    store: Store, pour_id: int, now: datetime, picture: Picture
) -> None:
    photo_id = keep(store, now, pour_id, picture("jpg"))
    with store.reading() as session, pytest.raises(NoSuchRow):
        photos.photo_of(session, pour_id + 1, photo_id)


def test_a_backup_holds_the_photos(
    store: Store, pour_id: int, now: datetime, picture: Picture, tmp_path: Path
) -> None:
    keep(store, now, pour_id, picture("webp"))
    backup.backup(tmp_path / "castclock.sqlite3", tmp_path / "monday.sqlite3")
    copy = Store(f"sqlite:///{tmp_path / 'monday.sqlite3'}")
    with copy.reading() as session:
        assert session.exec(select(Photo)).one().content == picture("webp")
    copy.close()


def test_a_list_leaves_the_contents_where_they_are(
    store: Store, pour_id: int, now: datetime, picture: Picture
) -> None:
    keep(store, now, pour_id, picture("jpg"))
    with store.reading() as session:
        (row,) = photos_of(session, pour_id)
        assert "content" not in row.__dict__
