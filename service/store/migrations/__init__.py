"""Alembic, inside the wheel, so that `serve` can upgrade the database it opens."""
