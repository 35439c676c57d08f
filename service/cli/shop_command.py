"""`castclock shop` and `owner`: the shops of one server, and the links of their owners."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.errors import InputError
from service import machine
from service.cli import serving
from service.cli.options import (
    DatabaseOption,
    DataOption,
    HttpsOption,
    LanOption,
    PortOption,
    RootPathOption,
    ShopOption,
)

if TYPE_CHECKING:
    from service.settings import Settings
    from service.store import Store

NameArgument = Annotated[str, typer.Argument(metavar="NAME", help="As its people call it.")]


def add_to(app: typer.Typer, settings_of: Callable[..., "Settings"]) -> None:
    """settings_of : of --data, --database and where it is served"""

    @app.command()
    def owner(
        data: DataOption = "",
        database: DatabaseOption = "",
        port: PortOption = 0,
        lan: LanOption = False,
        https: HttpsOption = False,
        root_path: RootPathOption = "",
        shop: ShopOption = "",
    ) -> None:
        """A link that makes whoever opens it an owner: the first one, or who lost every password.

        Told as the server was, it names the same address.
        """
        settings = settings_of(data, database, port=port, root_path=root_path)
        settings = serving.on_the_network(settings, https=https) if lan or https else settings
        with serving.opened(settings) as store:
            serving.refuse_other_tables(store)
            with serving.in_shop(store, shop):
                print(serving.owner_link(settings, store, always=True))

    several = typer.Typer(no_args_is_help=True, help="Further shops on this server.")
    app.add_typer(several, name="shop")

    @several.command("new")
    def new_shop(
        name: NameArgument,
        data: DataOption = "",
        database: DatabaseOption = "",
        timezone: Annotated[str, typer.Option("--timezone", help="Of its hours.")] = "UTC",
    ) -> None:
        """A further shop, and the link of its owner; its people see nothing of the others."""
        settings, now = settings_of(data, database), datetime.now(UTC)
        from service.actions.shop import set_up_shop
        from service.store.shops import ALL, within

        with _opened(settings) as store:
            with store.unit_of_work() as session:
                set_up_shop.open_shop(session, now, timezone)  # the server's own stays the first
            with within(ALL), store.unit_of_work() as session:
                made = set_up_shop.new_shop(session, now, name, timezone)
            words = f"This link makes the owner of {made.name}, once:"
            with within(made.id):
                print(serving.owner_link(settings, store, always=True, words=words))

    @several.command("delete")
    def delete_shop(
        name: NameArgument,
        yes: Annotated[bool, typer.Option("--yes", help="Needed: nothing brings it back.")] = False,
        data: DataOption = "",
        database: DatabaseOption = "",
    ) -> None:
        """A shop with all that it has, photos too, for good: export it before."""
        if not yes:
            raise InputError("--yes", False, "nothing brings a deleted shop back", "--yes with it")
        settings = settings_of(data, database)
        from service.actions.shop import whole_shop
        from service.store.shops import ALL, now_within, within

        with _opened(settings) as store:
            with serving.in_shop(store, name):
                shop_id = now_within() or 0
            with within(ALL), store.unit_of_work() as session:
                gone = whole_shop.delete_shop(session, datetime.now(UTC), shop_id)
        print(f"{name}: gone, with {gone} rows")

    @app.command("export")
    def export_shop(
        name: Annotated[str, typer.Argument(metavar="SHOP", help="Its name.")],
        file: Annotated[Path, typer.Argument(metavar="FILE.zip", help="A new file.")],
        data: DataOption = "",
        database: DatabaseOption = "",
    ) -> None:
        """A whole shop as one file without loss, with photos and secrets: keep it as a password."""
        settings = settings_of(data, database)
        from service.actions.shop import whole_shop
        from service.store import head
        from service.store.shops import ALL, now_within, within

        os.umask(machine.OTHERS)
        with _opened(settings) as store:
            with serving.in_shop(store, name):
                shop_id = now_within() or 0
            with within(ALL), store.reading() as session:
                counts = whole_shop.export(session, shop_id, head() or "", file)
        print(f"{file}: {name}, {sum(counts.values())} rows")

    @app.command("import")
    def import_shop(
        file: Annotated[Path, typer.Argument(metavar="FILE.zip", help="Of castclock export.")],
        data: DataOption = "",
        database: DatabaseOption = "",
    ) -> None:
        """The shop of a file as a further one of this server, all of it or nothing."""
        settings, now = settings_of(data, database), datetime.now(UTC)
        from service.actions.shop import set_up_shop, whole_shop
        from service.store import head
        from service.store.shops import ALL, within

        with _opened(settings) as store:
            with store.unit_of_work() as session:
                set_up_shop.open_shop(session, now)
            with within(ALL), store.unit_of_work() as session:
                shop_id = whole_shop.bring_in(session, head() or "", file)
        print(f"{file}: brought in as shop {shop_id}")

    @several.command("list")
    def list_shops(data: DataOption = "", database: DatabaseOption = "") -> None:
        """Number and name of each, the server's own first."""
        settings = settings_of(data, database)
        from service.queries.shops import all_shops
        from service.store.shops import ALL, within

        with _opened(settings) as store, within(ALL), store.reading() as session:
            for one in all_shops(session):
                print(f"{one.id}  {one.name}")


@contextmanager
def _opened(settings: "Settings") -> Iterator["Store"]:
    """The database, new or at the schema of this program."""
    with serving.opened(settings) as store:
        if store.revision() is None:
            store.upgrade()
        serving.refuse_other_tables(store)
        yield store
