"""Words that an answer holds or a request may: named in the interface by the very tuples that the
program checks them against, so that a generated client has them as enumerations."""

from collections.abc import Iterable
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from models.air.hollow import HOLLOWS
from models.air.place import KINDS
from models.air.sun import LOOKS_DEG
from models.concrete.section import FACES
from models.facts.amounts import FIBRES, PART_KINDS, STOCKED
from models.facts.cements import ADMIXTURES, CEMENT_CLASSES, CLASSES
from models.facts.codes import CODES
from models.facts.faults import FAULTS, TRACES
from models.facts.materials import ABSORPTANCE, BOARDS
from models.facts.measures import MEASURES
from models.facts.protection import COVERS, HEATERS
from models.facts.sealers import CHEMISTRIES
from models.mould.check import WORST
from models.piece import measures, shape, turning
from models.records import delivery, mould, pour, reminder, step
from models.records import shop as of_shop
from models.records.fields import Word
from models.results import ALERTS, STATES
from models.simulation.batch import LAYERS
from models.simulation.meant import PLACES
from models.simulation.plan import SET_BY
from models.simulation.scenario import READING_KINDS, TEST_KINDS


class OneOf:
    """Names a vocabulary in the interface. What is sent is checked where it always was, so that
    the refusal is the same at every door."""

    def __init__(self, name: str, words: Iterable[str]) -> None:
        self.name, self.words = name, tuple(words)

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        named: Any = {**handler(source), "ref": f"{__name__}.{self.name}"}
        told: CoreSchema = named
        return told

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        found = handler(schema)
        described = handler.resolve_ref_schema(found)
        described.clear()
        described |= {"title": self.name, "type": "string", "enum": list(self.words)}
        return found


PlaceKind = Annotated[Word, OneOf("PlaceKind", KINDS)]
PlanPlace = Annotated[Word, OneOf("PlanPlace", PLACES)]
Hollow = Annotated[Word, OneOf("Hollow", HOLLOWS)]
Looks = Annotated[Word, OneOf("Looks", LOOKS_DEG)]
Heater = Annotated[Word, OneOf("Heater", HEATERS)]
Gear = Annotated[Word, OneOf("Gear", turning.GEAR)]
TurningWord = Annotated[Word, OneOf("TurningWord", turning.WAYS)]
MixClass = Annotated[Word, OneOf("MixClass", CLASSES)]
CementClass = Annotated[Word, OneOf("CementClass", CEMENT_CLASSES)]
Colour = Annotated[Word, OneOf("Colour", ABSORPTANCE)]
Admixture = Annotated[Word, OneOf("Admixture", ADMIXTURES)]
StockKind = Annotated[Word, OneOf("StockKind", STOCKED)]
PartKind = Annotated[Word, OneOf("PartKind", PART_KINDS)]
Fibre = Annotated[Word, OneOf("Fibre", FIBRES)]
ShapeKind = Annotated[Word, OneOf("ShapeKind", shape.KINDS)]
OpeningForm = Annotated[Word, OneOf("OpeningForm", measures.OPENING_FORMS)]
OpeningWall = Annotated[Word, OneOf("OpeningWall", measures.WALLS)]
DropSides = Annotated[Word, OneOf("DropSides", measures.DROP_SIDES)]
CastWay = Annotated[Word, OneOf("CastWay", measures.CASTS)]
PieceFace = Annotated[Word, OneOf("PieceFace", measures.FACES)]
Against = Annotated[Word, OneOf("Against", measures.AGAINST)]
InsertMaterial = Annotated[Word, OneOf("InsertMaterial", measures.MATERIALS)]
Board = Annotated[Word, OneOf("Board", BOARDS)]
CoverKind = Annotated[Word, OneOf("CoverKind", COVERS)]
Faces = Annotated[Word, OneOf("Faces", FACES)]
Chemistry = Annotated[Word, OneOf("Chemistry", CHEMISTRIES)]
LayerKind = Annotated[Word, OneOf("LayerKind", LAYERS)]
MeasureKind = Annotated[Word, OneOf("MeasureKind", MEASURES)]
ReadingKind = Annotated[Word, OneOf("ReadingKind", READING_KINDS)]
TestKind = Annotated[Word, OneOf("TestKind", TEST_KINDS)]
Units = Annotated[Word, OneOf("Units", of_shop.UNITS)]
RulesCode = Annotated[Word, OneOf("RulesCode", CODES)]
CameOut = Annotated[Word, OneOf("CameOut", step.CAME_OUT)]
MouldRoom = Annotated[Word, OneOf("MouldRoom", mould.ROOM)]
MouldStateWord = Annotated[str, OneOf("MouldStateWord", mould.STATES)]
MouldFaultKind = Annotated[Word, OneOf("MouldFaultKind", mould.FAULTS)]
SealedAs = Annotated[Word, OneOf("SealedAs", pour.SEALED_AS)]
FaultKind = Annotated[Word, OneOf("FaultKind", FAULTS)]
CauseWord = Annotated[str, OneOf("CauseWord", TRACES)]
HeldUp = Annotated[Word, OneOf("HeldUp", pour.HELD_UP)]
WallState = Annotated[str, OneOf("WallState", WORST)]
StepState = Annotated[str, OneOf("StepState", STATES)]
SetBy = Annotated[str, OneOf("SetBy", SET_BY)]
AlertKind = Annotated[str, OneOf("AlertKind", ALERTS)]
NoticeKind = Annotated[of_shop.Notice, OneOf("NoticeKind", of_shop.NOTICES)]
PriceKey = Annotated[of_shop.Priced, OneOf("PriceKey", of_shop.PRICED)]
Weekday = Annotated[of_shop.Day, OneOf("Weekday", of_shop.DAYS)]
ReminderKind = Annotated[str, OneOf("ReminderKind", reminder.KINDS)]
ReminderState = Annotated[str, OneOf("ReminderState", reminder.STATES)]
DeliveryOutcome = Annotated[str, OneOf("DeliveryOutcome", delivery.OUTCOMES)]
