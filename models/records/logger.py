"""How the files of a logger are read: remembered once somebody has seen it to be so."""

from sqlalchemy import CheckConstraint

from models.records.base import OfShop, once_a_shop
from models.records.fields import Name, Word


class Logger(OfShop, table=True):
    """Columns are named by their headings; `unit` is that of the temperature."""

    __tablename__ = "logger"
    __table_args__ = (once_a_shop("name"), CheckConstraint("unit IN ('C', 'F')", name="unit_known"))

    name: Name
    delimiter: Word
    decimal: Word
    date_column: Word
    time_column: Word
    air_column: Word
    wet_column: Word
    unit: Word
    zone: Word
    month_first: bool
