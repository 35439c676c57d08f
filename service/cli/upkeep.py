"""`castclock doctor`, `honesty`, `backup`, `restore`: what whoever runs a shop asks of it."""

import os
from collections.abc import Callable, MutableMapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from service import machine
from service.cli import serving
from service.cli.options import DatabaseOption, DataOption, JsonOption, ShopOption
from service.settings import Settings

NewCopyArgument = Annotated[
    Path, typer.Argument(metavar="FILE|DIR", help="A new file; or a folder, for a dated one.")
]
CopyArgument = Annotated[Path, typer.Argument(metavar="FILE", help="A backup.")]
KeepOption = Annotated[
    int | None, typer.Option("--keep", metavar="N", help="Of dated ones, the newest N stay.")
]

HonestyPicture = Annotated[
    Path | None, typer.Option("--svg", metavar="FILE.svg", help="Draw it there.")
]


def add_to(
    app: typer.Typer,
    environ: MutableMapping[str, str],
    settings_of: Callable[[str, str], Settings],
    cache_of: Callable[[Settings], Path],
) -> None:
    """settings_of : of the folder and the database that were told; cache_of : compiled code"""

    @app.command("doctor")
    def examine(
        data: DataOption = "", database: DatabaseOption = "", as_json: JsonOption = False
    ) -> None:
        """How a server and its shops do, a line for each thing; exit 1 where one is wrong."""
        settings = settings_of(data, database)
        compiled = Path(environ.get(machine.CACHE) or cache_of(settings))
        from service.cli import doctor

        found = doctor.examine(settings, compiled, datetime.now(UTC))
        print(doctor.as_object(found) if as_json else doctor.as_text(found))
        if not all(one.well for one in found):
            raise typer.Exit(1)

    @app.command()
    def honesty(
        data: DataOption = "",
        database: DatabaseOption = "",
        as_json: JsonOption = False,
        svg: HonestyPicture = None,
        shop: ShopOption = "",
    ) -> None:
        """How often what was seen or broken lay inside what was told, over all pours of a shop."""
        settings = settings_of(data, database)
        machine.keep_compiled_code(environ, cache_of(settings))
        from service.actions.record.honesty import read_honesty
        from service.cli import honesty_printed

        with serving.opened(settings) as store, serving.in_shop(store, shop):
            found = read_honesty(store, datetime.now(UTC))
        if svg is not None:
            honesty_printed.draw(found, svg)
        print(honesty_printed.as_json(found) if as_json else honesty_printed.as_text(found))

    @app.command()
    def backup(
        file: NewCopyArgument,
        data: DataOption = "",
        database: DatabaseOption = "",
        keep: KeepOption = None,
    ) -> None:
        """A checked copy of database and keys, also while castclock runs (SQLite)."""
        from service.store import backup as copies

        os.umask(machine.OTHERS)
        file = copies.write(settings_of(data, database), file, datetime.now(UTC), keep)
        print(f"{file}: written and checked")

    @app.command()
    def restore(
        file: CopyArgument,
        data: DataOption = "",
        database: DatabaseOption = "",
    ) -> None:
        """Put a backup in the place of database and keys; castclock must be stopped (SQLite)."""
        from service.store import backup as copies

        settings = settings_of(data, database)
        place = copies.sqlite_file(settings.database_url)
        os.umask(machine.OTHERS)
        former = copies.restore(file, place, Path(settings.data))
        print(f"{place}: restored from {file}")
        if former is not None:
            print(f"the database that stood there is kept as {former}")
