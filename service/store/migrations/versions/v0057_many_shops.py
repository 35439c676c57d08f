"""To which shop a row belongs: there was one. What was named once is named once a shop."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

from models.errors import InputError

revision: str = "0057"
down_revision: str | None = "0056"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

# all that a shop owns; as it was named once, the column of which no two rows are alike
TABLES = {
    "batch": "",
    "client_order": "name",
    "delivery": "",
    "duty": "key",
    "idempotency_key": "key",
    "invitation": "",
    "logger": "name",
    "mix": "name",
    "mould": "name",
    "mould_fault": "",
    "order_plan": "",
    "owner_link": "",
    "passkey": "",
    "person": "name",
    "photo": "",
    "piece": "name",
    "pinned_pour": "",
    "place": "name",
    "pour": "",
    "pour_fault": "",
    "projection": "",
    "protection_period": "",
    "push_subscription": "endpoint",
    "reading": "",
    "reminder": "",
    "sealer": "name",
    "sign_in": "",
    "step_done": "",
    "sticker": "",
    "stock": "",
    "strength_test": "",
    "token": "",
    "topic": "",
    "weather_run": "",
}
# with large columns: SQLite reads what stands before them without touching them
LARGE = ("mould_fault", "photo", "projection", "weather_run")


def upgrade() -> None:
    sqlite = op.get_bind().dialect.name == "sqlite"
    for table, once in TABLES.items():
        large = sqlite and table in LARGE
        with op.batch_alter_table(table, recreate="always" if large else "auto") as batch_op:
            column = sa.Column("shop_id", sa.Integer(), nullable=False, server_default="1")
            batch_op.add_column(column, insert_after="created_at" if large else None)
            if once:
                batch_op.drop_constraint(f"uq_{table}_{once}", type_="unique")
                batch_op.create_unique_constraint(f"uq_{table}_{once}_shop_id", [once, "shop_id"])
            if table == "order_plan":
                batch_op.drop_constraint(op.f("ck_order_plan_one_row"), type_="check")
                batch_op.create_unique_constraint("uq_order_plan_shop_id", ["shop_id"])
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_constraint(op.f("ck_shop_one_row"), type_="check")


def downgrade() -> None:
    shops = op.get_bind().execute(sa.text("SELECT count(*) FROM shop")).scalar()
    if shops and shops > 1:
        wrong = "several shops, and a castclock of before knows one; nothing is downgraded"
        raise InputError("database", shops, wrong, "one shop: export the others and delete them")
    with op.batch_alter_table("shop") as batch_op:
        batch_op.create_check_constraint(op.f("ck_shop_one_row"), "id = 1")
    for table, once in reversed(TABLES.items()):
        with op.batch_alter_table(table) as batch_op:
            if once:
                batch_op.drop_constraint(f"uq_{table}_{once}_shop_id", type_="unique")
                batch_op.create_unique_constraint(f"uq_{table}_{once}", [once])
            if table == "order_plan":
                batch_op.drop_constraint("uq_order_plan_shop_id", type_="unique")
                batch_op.create_check_constraint(op.f("ck_order_plan_one_row"), "id = 1")
            batch_op.drop_column("shop_id")
