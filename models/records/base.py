"""What every table shares: a key and the instant it was noticed."""

from datetime import datetime

from sqlalchemy import JSON, UniqueConstraint
from sqlmodel import Field, SQLModel

NULLABLE_JSON = JSON(none_as_null=True)

# Named constraints, so that a later migration can drop one on SQLite and on PostgreSQL alike.
SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Row(SQLModel):
    """`created_at` says when it was noticed, not when it happened."""

    id: int = Field(default=None, primary_key=True)
    created_at: datetime


class OfShop(Row):
    """What belongs to one of the shops of a server. `service.store.shops` fills `shop_id` and
    narrows every statement by it; it is told to nobody."""

    shop_id: int = Field(
        default=None, exclude=True, nullable=False, sa_column_kwargs={"server_default": "1"}
    )


def once_a_shop(*columns: str) -> UniqueConstraint:
    """No two rows of one shop have the same. The shop stands last, so that the index of it is never
    mistaken for one by which the rows of a shop are found."""
    return UniqueConstraint(*columns, "shop_id")


class Owned(OfShop):
    """What the shop owns. Put away it is offered no more; pours that were made of it keep it.

    These tables are looked through by the shop alone. Others are found by their pour or place, and
    there an index of the shop would be taken in its place by a database that counts no rows.
    """

    shop_id: int = Field(
        default=None,
        exclude=True,
        nullable=False,
        index=True,
        sa_column_kwargs={"server_default": "1"},
    )
    archived_at: datetime | None = None


class Logged(OfShop):
    """What people write down; `logged_by` is None where nobody had to sign in."""

    logged_by: str | None = None
