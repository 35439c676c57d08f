"""What the root finds here: who owns our names, what this machine is called, where compiled code
goes, the time zone."""

import ctypes
import os
import socket
import stat
import tempfile
import threading
from collections.abc import Callable, Collection, Iterator, Mapping, MutableMapping
from contextlib import suppress
from importlib.metadata import version
from pathlib import Path
from zoneinfo import ZoneInfo

import typer

from models import seal
from models.errors import InputError
from service.settings import Settings

HERE = Path(__file__).parents[1]  # where our packages lie, and those of others beside them
OURS = ("models", "service", "scheduler")
CACHE = "NUMBA_CACHE_DIR"
M_ARENA_MAX = -8  # of mallopt(3), malloc.h
OTHERS = 0o077  # permissions of group and world
EVERYWHERE = ("", "0.0.0.0", "::")


def refuse_strangers() -> None:
    """Our package names are plain words: another distribution may have written over them.

    Only what was installed into our own folder can have: its RECORD (PEP 376) says so.
    importlib.metadata would read every distribution of the machine, a fifth of a second.
    """
    for record in sorted(HERE.glob("*.dist-info/RECORD")):
        owner = record.parent.name.partition("-")[0]
        content = b"" if owner == "castclock" else b"\n" + record.read_bytes()
        for name in OURS:
            if f"\n{name}/".encode() in content or f"\n{name}.py,".encode() in content:
                raise InputError(
                    f"package {name}",
                    owner,
                    "another distribution has installed a package of this name here",
                    "an environment of its own to castclock, as made by python3 -m venv",
                )


def own_names(settings: Settings) -> frozenset[str]:
    """Names that were set, and the machine's own when it listens on all its addresses. Those need
    not be listed: each connection tells the address it came in by."""
    if settings.host not in EVERYWHERE:
        return settings.names
    name = socket.gethostname().lower()
    short = name.partition(".")[0]
    return settings.names | {name, short, f"{short}.local"}


def network_address() -> str:
    """The address other machines of this network reach us by; OSError where there is none.

    A datagram socket that is connected asks the way and sends nothing (TEST-NET-1, RFC 5737).
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        way.connect(("192.0.2.1", 9))
        return str(way.getsockname()[0])


def looked_up() -> frozenset[str]:
    """Addresses of the machine's own name; this may take seconds where names are not answered."""
    with suppress(OSError, UnicodeError):
        return frozenset(str(one[4][0]) for one in socket.getaddrinfo(socket.gethostname(), None))
    return frozenset()


class Lately:
    """What was found last; only the first is waited for, the others are looked up beside."""

    def __init__(self, look: Callable[[], Collection[str]] = looked_up) -> None:
        self._look, self._found = look, look()
        self._looking: threading.Thread | None = None

    def __call__(self) -> Collection[str]:
        if self._looking is None or not self._looking.is_alive():
            self._looking = threading.Thread(target=self._anew, daemon=True, name="own name")
            self._looking.start()
        return self._found

    def _anew(self) -> None:
        self._found = self._look()


def own_addresses(settings: Settings, of_name: Callable[[], Collection[str]]) -> frozenset[str]:
    """Names and addresses by which this machine is asked, as far as it knows them itself.

    of_name : finds those of its name
    """
    found = {"127.0.0.1", "localhost", *own_names(settings)} - {*EVERYWHERE}
    with suppress(OSError):  # in no network just now
        found.add(network_address())
    return frozenset(found.union(of_name()))


def listening(host: str, port: int) -> socket.socket:
    """The socket of the server, of the host's own kind (IPv4 or IPv6); OSError when it is taken."""
    both = host == "::" and socket.has_dualstack_ipv6()
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    out = socket.create_server((host, port), family=family, dualstack_ipv6=both)
    # What it accepts inherits this. asyncio sets it only on sockets made with a protocol number,
    # and without it a keep-alive answer of two packets waits 40 ms for the peer's delayed ACK.
    out.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return out


def few_heaps() -> None:
    """Let threads share two heaps: glibc gives each its own, eight for each core, and each keeps
    what its thread needed once. Before the threads start; nothing where malloc is another's."""
    with suppress(AttributeError, OSError):
        ctypes.CDLL(None).mallopt(M_ARENA_MAX, 2)


def give_back() -> None:
    """Hand memory that is free back to the system, which glibc would keep for the next projection:
    a server that rests holds half as much."""
    with suppress(AttributeError, OSError):
        ctypes.CDLL(None).malloc_trim(0)


def leave_within(seconds: float) -> None:
    """The process ends by then, whatever hangs in it; what was acknowledged is on the disk."""

    def leave() -> None:
        with suppress(OSError):  # nobody may be reading any more
            os.write(2, b"castclock: something hangs; left without waiting for it\n")
        os._exit(0)

    timer = threading.Timer(seconds, leave)
    timer.daemon = True
    timer.start()


def keep_to_ourselves(settings: Settings, environ: Mapping[str, str], compiled: Path) -> None:
    """Whatever is made from now on is the owner's alone (folders 700, files 600), and what stands
    there wider is put right: the database and its copies hold passwords, compiled code is run."""
    os.umask(OTHERS)
    for path in _ours(settings, Path(environ.get(CACHE) or compiled)):
        with suppress(OSError):  # gone meanwhile, or on a disk that takes no writes
            if _belongs_to_us(path) and stat.S_IMODE(path.stat().st_mode) & OTHERS:
                path.chmod(stat.S_IMODE(path.stat().st_mode) & ~OTHERS)


def _ours(settings: Settings, compiled: Path) -> Iterator[Path]:
    """The data folder and what castclock wrote there, or beside a database that lies elsewhere."""
    kind, _, file = settings.database_url.partition(":///")
    if not settings.database:
        yield from (Path(settings.data), *Path(settings.data).glob("castclock*"))
    elif kind == "sqlite":
        yield from Path(file).parent.glob(f"{Path(file).name}*")
    if _belongs_to_us(compiled):
        yield compiled
        yield from (one for one in compiled.rglob("*") if one.is_dir() or one.suffix == seal.KIND)


def _belongs_to_us(path: Path) -> bool:
    """Not somebody else's, and no folder that all share, as /tmp."""
    try:
        found = path.lstat()
    except OSError:
        return False
    shared = stat.S_ISLNK(found.st_mode) or found.st_mode & stat.S_ISVTX
    return found.st_uid == os.geteuid() and not shared


def local_timezone(environ: Mapping[str, str]) -> str:
    """The zone this machine is set to, as far as it says so by name."""
    zone_name = environ.get("TZ", "").lstrip(":") or "/".join(
        Path("/etc/localtime").resolve().parts[-2:]
    )
    try:
        return ZoneInfo(zone_name).key
    except (KeyError, ValueError, OSError):
        return "UTC"


def user_cache(environ: Mapping[str, str]) -> Path:
    """Where compiled code of commands without a data folder is kept."""
    given = environ.get("XDG_CACHE_HOME", "")
    base = Path(given) if given else Path("~").expanduser() / ".cache"
    return base / "castclock" / "numba"


def keep_compiled_code(environ: MutableMapping[str, str], folder: Path) -> None:
    """Name the folder of the compiled kernels, before the science is imported.

    One thread of linear algebra besides: ours are small systems, over which a second thread spins
    and waits.
    """
    environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if CACHE in environ:
        return
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:  # no home, or a read-only one
        folder = _shared_by_our_runs()
    environ[CACHE] = str(folder)


def _shared_by_our_runs() -> Path:
    """A temporary folder that the next run finds again. What lies there is run, so it must be ours
    alone: where somebody else made it first, one of a name that nobody can guess."""
    folder = Path(tempfile.gettempdir()) / f"castclock-numba-{os.geteuid()}"
    with suppress(OSError):
        folder.mkdir(mode=0o700, exist_ok=True)
        if _belongs_to_us(folder) and not stat.S_IMODE(folder.lstat().st_mode) & OTHERS:
            return folder
    return Path(tempfile.mkdtemp(prefix="castclock-numba-"))


def nothing_compiled(environ: Mapping[str, str]) -> bool:
    """Whether the kernels must be compiled first, which takes a minute or two."""
    return not any(Path(environ[CACHE]).rglob(f"*{seal.KIND}"))


def print_version(wanted: bool) -> None:
    """The version of the installed program, and the end of it, where `--version` asks."""
    if wanted:
        typer.echo(f"castclock {version('castclock')}")
        raise typer.Exit
