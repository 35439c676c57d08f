"""Every table: what was done, and what was told. No row computes."""

from models.records.base import Owned as Owned
from models.records.base import Row as Row
from models.records.batch import Batch as Batch
from models.records.delivery import Delivery as Delivery
from models.records.idempotency import IdempotencyKey as IdempotencyKey
from models.records.job import Job as Job
from models.records.mix import Mix as Mix
from models.records.mould import Mould as Mould
from models.records.person import Invitation as Invitation
from models.records.person import Person as Person
from models.records.person import SignIn as SignIn
from models.records.photo import Photo as Photo
from models.records.piece import Piece as Piece
from models.records.place import Place as Place
from models.records.pour import Pour as Pour
from models.records.projection import Projection as Projection
from models.records.protection import ProtectionPeriod as ProtectionPeriod
from models.records.push import PushSubscription as PushSubscription
from models.records.reading import Reading as Reading
from models.records.reminder import Reminder as Reminder
from models.records.sealer import Sealer as Sealer
from models.records.shop import Shop as Shop
from models.records.step import StepDone as StepDone
from models.records.strength_test import StrengthTest as StrengthTest
from models.records.token import Token as Token
from models.records.weather_run import WeatherRun as WeatherRun
