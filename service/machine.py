"""What the root finds here: who owns our names, where compiled code goes, the time zone."""

import tempfile
from collections.abc import Mapping, MutableMapping
from importlib.metadata import packages_distributions
from pathlib import Path
from zoneinfo import ZoneInfo

from models.errors import InputError

OURS = ("models", "service", "scheduler")
CACHE = "NUMBA_CACHE_DIR"


def refuse_strangers() -> None:
    """Our package names are plain words: another distribution may have written over them."""
    owners = packages_distributions()
    for name in OURS:
        others = sorted(set(owners.get(name, [])) - {"castclock"})
        if others:
            raise InputError(
                f"package {name}",
                others[0],
                "another distribution has installed a package of this name here",
                "an environment of its own to castclock, as made by python3 -m venv",
            )


def local_timezone(environ: Mapping[str, str]) -> str:
    """The zone this machine is set to, as far as it says so by name."""
    told = environ.get("TZ", "").lstrip(":") or "/".join(
        Path("/etc/localtime").resolve().parts[-2:]
    )
    try:
        return ZoneInfo(told).key
    except (KeyError, ValueError, OSError):
        return "UTC"


def user_cache(environ: Mapping[str, str]) -> Path:
    """Where compiled code of commands without a data folder is kept."""
    given = environ.get("XDG_CACHE_HOME", "")
    base = Path(given) if given else Path("~").expanduser() / ".cache"
    return base / "castclock" / "numba"


def keep_compiled_code(environ: MutableMapping[str, str], folder: Path) -> None:
    """Name the folder of the compiled kernels, before the science is imported."""
    if CACHE in environ:
        return
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:  # no home, or a read-only one: compile anew each time rather than not start
        folder = Path(tempfile.mkdtemp(prefix="castclock-numba-"))
    environ[CACHE] = str(folder)
