"""Every table: what was done, and what was told. No row computes."""

from models.records.base import Row
from models.records.batch import Batch
from models.records.delivery import Delivery
from models.records.idempotency import IdempotencyKey
from models.records.job import Job
from models.records.mix import Mix
from models.records.mould import Mould
from models.records.photo import Photo
from models.records.piece import Piece
from models.records.place import Place
from models.records.pour import Pour
from models.records.projection import Projection
from models.records.protection import ProtectionPeriod
from models.records.reading import Reading
from models.records.reminder import Reminder
from models.records.sealer import Sealer
from models.records.shop import Shop
from models.records.step import StepDone
from models.records.strength_test import StrengthTest
from models.records.weather_run import WeatherRun

__all__ = [
    "Batch",
    "Delivery",
    "Job",
    "IdempotencyKey",
    "Mix",
    "Mould",
    "Photo",
    "Piece",
    "Place",
    "Pour",
    "Projection",
    "ProtectionPeriod",
    "Reading",
    "Reminder",
    "Row",
    "Sealer",
    "Shop",
    "StepDone",
    "StrengthTest",
    "WeatherRun",
]
