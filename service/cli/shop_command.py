"""`castclock shop` and `owner`: the shops of one server, and the links of their owners."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated

import typer

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
