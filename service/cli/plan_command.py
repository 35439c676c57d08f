"""`castclock plan`: what imports the science stands in the command, as in the root."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from service.cli.options import JsonOption, NowOption, UnitsOption


def add_to(app: typer.Typer, ready: Callable[[], object]) -> None:
    """ready : sets the folder of compiled code"""

    @app.command("plan")
    def plan_orders(
        orders: Annotated[Path, typer.Argument(metavar="ORDERS.toml", help="A shop of orders.")],
        as_json: JsonOption = False,
        now: NowOption = "",
        units: UnitsOption = "si",
    ) -> None:
        """Who is poured when, in which mould, what is due each day, what may be promised."""
        ready()
        from service.cli import plan_printed

        plan_printed.show(orders, now, as_json=as_json, units=units)
