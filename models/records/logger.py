"""How the files of a logger are read: remembered once somebody has seen it to be so."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row
from models.records.fields import Name, Word


class Logger(Row, table=True):
    """Columns are named by their headings; `unit` is that of the temperature."""

    __tablename__ = "logger"
    __table_args__ = (CheckConstraint("unit IN ('C', 'F')", name="unit_known"),)

    name: Name = Field(unique=True)
    delimiter: Word
    decimal: Word
    date_column: Word
    time_column: Word
    air_column: Word
    wet_column: Word
    unit: Word
    zone: Word
    month_first: bool
