"""What a disk holds after a power cut, rebuilt from the log that `shim.c` wrote.

A file keeps what was written before the last wait for the disk (fsync, fdatasync) on it. Of later
writes any part may have arrived, torn at 512 bytes and in any order. A name in a folder is on the
disk after an fsync of the folder; of later changes of names a beginning may have arrived, as on
file systems that keep a journal of names.
"""

import shutil
import struct
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

HEAD = struct.Struct("<IIQIII")  # op, file, at, lengths of path, second path and data
SECTOR = 512
Tree = dict[str, bytes]  # contents by path relative to the folder


def built(folder: Path) -> Path:
    """The shim as a library; a machine without a C compiler cannot run these."""
    library = folder / "shim.so"
    source = Path(__file__).with_name("shim.c")
    subprocess.run(
        ["cc", "-O1", "-shared", "-fPIC", "-o", library, source, "-lpthread"], check=True
    )
    return library


@dataclass(frozen=True)
class Record:
    """One call; `end` is where its record ends in the log."""

    op: str
    file: int
    at: int
    path: str
    second: str
    data: bytes
    end: int


def records(log: bytes) -> Iterator[Record]:
    """Every whole record; a last one that was torn by a kill is left out."""
    here = 0
    while here + HEAD.size <= len(log):
        op, file, at, *lengths = HEAD.unpack_from(log, here)
        parts, edge = [], here + HEAD.size
        for length in lengths:
            parts.append(log[edge : edge + length])
            edge += length
        if edge > len(log):
            return
        yield Record(chr(op), file, at, parts[0].decode(), parts[1].decode(), parts[2], edge)
        here = edge


@dataclass(eq=False)
class File:
    """One file, whatever its name: as programs see it, as the disk holds it, what lies between."""

    seen: bytearray
    held: bytearray
    between: list[tuple[int, bytes | None]] = field(default_factory=list)  # None: cut to a size

    def change(self, at: int, data: bytes | None) -> None:
        _apply(self.seen, at, data)
        self.between.append((at, data))

    def sync(self) -> None:
        for at, data in self.between:
            _apply(self.held, at, data)
        self.between.clear()

    def after_cut(self, dice: Random) -> bytes:
        content, share = bytearray(self.held), dice.choice((0.0, 0.5, 1.0))
        for at, data in self.between:
            for begin, part in _torn(at, data):
                if dice.random() < share:
                    _apply(content, begin, part)
        return bytes(content)


Names = dict[str, File]


class Disk:
    """A folder with what was under it at the beginning; `take` follows the log."""

    def __init__(self, root: Path, before: Tree) -> None:
        self._root = str(root)
        self._seen: Names = {
            name: File(bytearray(content), bytearray(content)) for name, content in before.items()
        }
        self._held = dict(self._seen)
        self._between: list[tuple[str, Callable[[Names], None]]] = []  # folder, change of names
        self._by_number: dict[int, File] = {}

    def take(self, record: Record) -> None:
        name = self._name(record.path)
        if record.op == "o":
            self._by_number.setdefault(record.file, self._seen[name])
        elif record.op == "c":
            fresh = self._by_number[record.file] = File(bytearray(), bytearray())
            self._renames(name, lambda names: names.update({name: fresh}))
        elif record.op == "w":
            self._by_number[record.file].change(record.at, record.data)
        elif record.op == "t":
            self._by_number[record.file].change(record.at, None)
        elif record.op == "s":
            self._by_number[record.file].sync()
        elif record.op == "d":
            self._sync_folder(name)
        elif record.op in "rlu":
            second = self._name(record.second)
            self._renames(second or name, lambda names: _rename(names, record.op, name, second))

    def killed(self) -> Tree:
        """What is left when the program alone dies."""
        return {name: bytes(file.seen) for name, file in self._seen.items()}

    def cut(self, dice: Random) -> Tree:
        """What may be left when the power goes."""
        names = dict(self._held)
        arrived = dice.randint(0, len(self._between)) if dice.random() < 0.5 else 0
        for _, change in self._between[:arrived]:
            change(names)
        return {name: file.after_cut(dice) for name, file in names.items()}

    def _name(self, path: str) -> str:
        return path.removeprefix(self._root).strip("/")

    def _renames(self, name: str, change: Callable[[Names], None]) -> None:
        change(self._seen)
        self._between.append((_folder(name), change))

    def _sync_folder(self, name: str) -> None:
        for folder, change in self._between:
            if folder == name:
                change(self._held)
        self._between = [one for one in self._between if one[0] != name]


def tree(root: Path) -> Tree:
    """What lies under a folder, but for memory that processes share."""
    return {
        str(path.relative_to(root)): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and not path.name.endswith("-shm")
    }


def lay(root: Path, content: Tree) -> None:
    """Make the folder hold this and nothing else."""
    shutil.rmtree(root, ignore_errors=True)
    root.mkdir(parents=True)
    for name, data in content.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def _rename(names: Names, op: str, name: str, second: str) -> None:
    file = names.get(name) if op == "l" else names.pop(name, None)
    if op != "u" and file is not None:
        names[second] = file


def _folder(name: str) -> str:
    return name.rpartition("/")[0]


def _apply(content: bytearray, at: int, data: bytes | None) -> None:
    if data is None:
        del content[at:]
    if at > len(content):
        content.extend(bytes(at - len(content)))
    if data is not None:
        content[at : at + len(data)] = data


def _torn(at: int, data: bytes | None) -> Iterator[tuple[int, bytes | None]]:
    if data is None:
        yield at, None
        return
    begin = 0
    while begin < len(data):
        end = min(len(data), begin + SECTOR - (at + begin) % SECTOR)
        yield at + begin, data[begin:end]
        begin = end
