"""The database: engine and transactions, migrations, copies; what waits until it is on the disk."""

from service.store.engine import (
    TROUBLE,
    OtherSchema,
    Store,
    head,
    is_trouble,
    refuse_unknown,
    revisions,
    trouble,
)

__all__ = [
    "TROUBLE",
    "OtherSchema",
    "Store",
    "head",
    "is_trouble",
    "refuse_unknown",
    "revisions",
    "trouble",
]
