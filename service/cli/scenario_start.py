"""`castclock new`: a scenario with a word beside each line, to start from."""

from collections.abc import Mapping
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from string import Template
from zoneinfo import ZoneInfo

from models.errors import InputError
from models.units import one_of
from service import scenario_file

SIDES: dict[str, dict[str, str]] = {  # of each shape, where none are given
    "panel": {"length_mm": "1200", "width_mm": "600", "thickness_mm": "45"},
    "box": {"length_mm": "600", "width_mm": "600", "height_mm": "500", "wall_mm": "45"},
    "block": {"length_mm": "900", "width_mm": "350", "height_mm": "150"},
}


def write(file: Path, shape: str, sides: Mapping[str, str], now: datetime, timezone: str) -> None:
    """The file, read back before it is kept; never over one that is there.

    sides : as typed, by key; an empty one is the shape's own
    """
    one_of("--shape", shape, SIDES)
    given = {key: text for key, text in sides.items() if text}
    for key, text in given.items():
        if key not in SIDES[shape]:
            has = ", ".join(f"--{side.partition('_')[0]}" for side in SIDES[shape])
            option = f"--{key.partition('_')[0]}"
            raise InputError(option, text, f"a {shape} has none", has)
    chosen = {**SIDES[shape], **given}
    if file.exists():
        raise InputError("FILE", str(file), "there already", "the name of a new file")
    local = now.astimezone(ZoneInfo(timezone)).replace(minute=0, second=0, microsecond=0)
    filled = Template((files("service.cli") / "start.toml").read_text(encoding="utf-8")).substitute(
        file=file.name,
        name=file.stem,
        timezone=timezone,
        at=local.isoformat(timespec="seconds"),
        piece="\n".join([f'shape = "{shape}"', *(f"{k} = {_value(v)}" for k, v in chosen.items())]),
    )
    try:
        file.write_text(filled, encoding="utf-8")
    except OSError as error:
        wrong = error.strerror or "cannot be written"
        raise InputError("FILE", str(file), wrong, "a folder that takes files") from None
    try:
        scenario_file.read(file)
    except InputError:
        file.unlink()
        raise


def _value(typed: str) -> str:
    try:
        return f"{float(typed):g}"
    except ValueError:
        return '"' + typed.replace("\\", "\\\\").replace('"', '\\"') + '"'
