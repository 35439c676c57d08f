"""Databases of before the first release: their rows are copied into the tables of that release.

Revisions 0001 to 0013 only ever added tables and columns and let checks allow more, so that every
row of theirs fits; what a column of before lacks is NULL or stands in `FILLED`.
"""

from collections.abc import Callable

from sqlalchemy import Connection, MetaData, Table, func, insert, inspect, literal, select, text

RELEASED = "0014"
BEFORE = tuple(f"{number:04d}" for number in range(1, int(RELEASED)))
FILLED = {("reading", "wrong"): False}  # columns that must not be NULL and came after 0001
ASIDE = "aside_"


def lift(connection: Connection, build: Callable[[], None]) -> None:
    """Every row put aside, the tables made anew by `build`, the rows put back with their keys.

    In the transaction of the connection; foreign keys are off where the database is SQLite's.
    """
    names = [name for name in inspect(connection).get_table_names() if name != "alembic_version"]
    next_keys: dict[str, int] = {}
    for name in names:
        if connection.dialect.name == "postgresql":
            sequence = select(func.nextval(func.pg_get_serial_sequence(name, "id")))
            next_keys[name] = connection.execute(sequence).scalar_one()
        connection.execute(text(f'CREATE TABLE "{ASIDE}{name}" AS SELECT * FROM "{name}"'))
    before = MetaData()
    before.reflect(connection, only=names)
    before.drop_all(connection)
    connection.execute(text("DELETE FROM alembic_version"))
    build()
    after = MetaData()
    after.reflect(connection)
    for table in after.sorted_tables:
        if table.name in names:
            _put_back(connection, table, after.tables[ASIDE + table.name])
        if table.name in next_keys:
            owned = func.pg_get_serial_sequence(table.name, "id")
            connection.execute(select(func.setval(owned, next_keys[table.name], False)))


def _put_back(connection: Connection, table: Table, aside: Table) -> None:
    values = {
        name: aside.c[name] if name in aside.c else literal(FILLED[table.name, name])
        for name in (column.name for column in table.columns)
        if name in aside.c or (table.name, name) in FILLED
    }
    connection.execute(insert(table).from_select(list(values), select(*values.values())))
    aside.drop(connection)
