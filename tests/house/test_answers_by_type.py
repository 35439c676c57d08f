"""Nobody takes an answer by string keys: it is read by its types, through one door."""

import re
from pathlib import Path

import pytest
from pydantic import AliasChoices, BaseModel

from models import results
from service import answers

SERVICE = Path(__file__).parents[2] / "service"
FILES = [
    path
    for path in sorted(SERVICE.rglob("*.py"))
    if path.name not in ("answers.py", "answer_fields.py")
]
BY_KEY = re.compile(
    r"\banswer\[[\"']|\[[\"'](steps|earliest|coat_plan|frost_watch|alerts|options|risks)[\"']\]\["
    r"|\banswer\.get\("
)


def test_no_answer_is_read_by_string_keys() -> None:
    assert len(FILES) > 100
    found = [
        (str(path.relative_to(SERVICE)), line)
        for path in FILES
        for line in path.read_text().splitlines()
        if BY_KEY.search(line)
    ]
    assert found == []


def test_the_search_would_find_one() -> None:
    assert BY_KEY.search('sure = step["earliest"]["p90"]')
    assert BY_KEY.search('for step in row.answer["steps"]:')


MADE_OF: dict[type[BaseModel], tuple[type, ...]] = {
    answers.StepWindowResponse: (results.StepWindow,),
    answers.EarliestResponse: (results.Earliest,),
    answers.NeedResponse: (results.Need,),
    answers.AlertResponse: (results.Alert,),
    answers.FrostWatchResponse: (results.FrostWatch,),
    answers.PlannedCoatResponse: (results.PlannedCoat,),
    answers.CoatPlanResponse: (results.CoatPlan,),
    answers.PourSummaryResponse: (results.PourSummary,),
    answers.BandsResponse: (results.Bands,),
    answers.ConcreteResponse: (results.ConcreteHistory, results.Drawn),
    answers.SurelyResponse: (results.Surely,),
    answers.AnswerResponse: (results.Projection,),
    answers.RiskResponse: (results.Risk,),
    answers.PourOptionResponse: (results.PourOption,),
    answers.PourAnswerResponse: (results.PourAnswer,),
}
ELSEWHERE = {
    "p50",
    "p90",
    "safe",
    "concrete",
    "drawn",
}  # of a step in `earliest`; of a projection in its own column


@pytest.mark.parametrize("response", MADE_OF, ids=lambda one: str(one.__name__))
def test_every_key_comes_from_the_result_and_nothing_of_it_is_lost(
    response: type[BaseModel],
) -> None:
    there = {name for one in MADE_OF[response] for name in one.__annotations__}
    taken = set()
    for name, field in response.model_fields.items():
        alias = field.validation_alias
        names = alias.choices if isinstance(alias, AliasChoices) else [name]
        found = [one for one in names if isinstance(one, str) and tells(response, one)]
        assert found, name
        taken.update(found)
    assert there - taken <= ELSEWHERE


def tells(response: type[BaseModel], name: str) -> bool:
    """Whether a result has the attribute, as a field or as what is made of its fields."""
    return any(
        name in one.__annotations__ or isinstance(vars(one).get(name), property)
        for one in MADE_OF[response]
    )
