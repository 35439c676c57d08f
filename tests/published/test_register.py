"""Every row of the register that `castclock sources` prints.

Source     the sources named by the rows of tests/published/register, one file a source.
Page says  what stands in each row beside its place in the source.
Status     page, second-hand, library, open data, fit, exact mathematics or from memory, row by row;
           mathematics is arithmetic on a printed formula, done apart from the program; a fit stands
           beside the data that it was made of.
Tolerance  as each row says; the tests of the sources in this folder take their tables from there.
"""

import math
from collections import Counter
from dataclasses import replace
from functools import partial
from types import ModuleType
from typing import Any

import pytest

from models.errors import InputError
from models.sources import BASES, SOURCES
from service import published
from service.published import STATUSES
from tests.published import rewrite
from tests.published.register import CHECKS, FILES
from tests.published.register.bibliography import BIBLIOGRAPHY, CHECKED_AGAINST
from tests.published.register.check import Check

TOPICS = {
    "WMO_8",
    "UNO_1998",
    "ASTM_C1074",
    "NIST_BENTZ_TABLE_IX",
    "EN_1992_1_1",
    "ACI_209R",
    "OOFEM_HYDRATION",
    "CARSLAW_JAEGER_1959",
    "FOURIER_LAYERS",
    "FIRST_ORDER_SYSTEM",
    "ASHRAE_NIGHT_SKY",
    "USACE_ETL_1110_2_365",
    "STEFAN_BOLTZMANN",
    "ACI_306R",
    "EN_13670",
    "ACI_305R",
    "PCI_HANDLING",
    "BAG_LABELS",
    "CIRIA_108",
    "BAZANT_NAJJAR_1972",
}


@pytest.fixture(scope="module")
def told() -> dict[tuple[str, str], published.Row]:
    """What `castclock sources` says, by source and quantity."""
    return {(row.source, row.quantity): row for row in published.rows()}


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.__name__).rpartition(".")[2])
def test_ours_is_within_the_tolerance_of_what_is_printed_and_is_what_the_command_tells(
    file: ModuleType, told: dict[tuple[str, str], published.Row]
) -> None:
    wrong = []
    for check in file.CHECKS:
        row = check.compare()
        if told[row.source, row.quantity].ours != pytest.approx(row.ours, rel=1e-6, abs=1e-9):
            wrong.append(f"{check.source} {check.quantity}: {row.ours}, the command tells another")
        if not row.holds:
            told_and_allowed = f"{check.published}, within {check.tolerance}"
            wrong.append(f"{check.source} {check.quantity}: {row.ours} for {told_and_allowed}")
    assert wrong == []


def test_the_file_of_the_register_is_the_one_that_is_written() -> None:
    """All but ours, which the test of each row holds; `python tests/published/rewrite.py`."""
    rows = published.rows()
    ours = [row.ours for row in rows]
    made = [
        replace(check, ours=partial(float, value)).compare()
        for check, value in zip(CHECKS, ours, strict=True)
    ]
    assert rewrite.written(made) == rewrite.FILE.read_text(encoding="utf-8")
    assert list(rows) == made


def test_sixty_values_and_more_of_every_topic_are_compared() -> None:
    assert len(CHECKS) >= 90
    assert {check.source for check in CHECKS} >= TOPICS
    counts = Counter(check.status for check in CHECKS)
    assert counts["page"] + counts["library"] + counts["open data"] >= 60
    assert set(counts) <= set(STATUSES)


def test_a_file_of_the_register_is_named_after_its_source() -> None:
    for file in FILES[1:]:
        name = file.__name__.rsplit(".", 1)[-1]
        keys = {check.source for check in file.CHECKS}
        assert name in {key.lower() for key in keys}
        assert file.CHECKS


def test_the_limits_that_keep_a_piece_or_a_person_whole_come_first() -> None:
    """12-answers F6: none of them was in the register."""
    limits = {check.quantity.split(",")[0] for check in FILES[0].CHECKS}
    assert CHECKS[: len(FILES[0].CHECKS)] == FILES[0].CHECKS
    for wanted in (
        "strength that bears one freezing",
        "strength that bears frost",
        "strength that bears frost where water comes from outside",
        "days of protection",
        "surface over the air when all protection may come off",
        "largest fall of the surface in 24 h under 12 in",
        "most as placed",
        "most inside a section",
        "most of mixing water that meets the cement first",
        "evaporation from a fresh face at which it is protected",
        "the same of a mix that hardly bleeds",
        "face over the dew point",
        "most humidity of the air for a coat",
        "moisture under which spalling is unlikely",
        "what a man may lift near the body at the waist",
    ):
        assert wanted in limits
    assert {check.status for check in FILES[0].CHECKS} <= {"page", "second-hand", "from memory"}


@pytest.mark.parametrize("key", CHECKED_AGAINST)
def test_a_source_only_checked_against_says_how_it_is_known(key: str) -> None:
    assert CHECKED_AGAINST[key].basis in BASES


def test_no_row_stands_twice() -> None:
    named = Counter((check.source, check.quantity) for check in CHECKS)
    assert not [name for name, count in named.items() if count > 1]


def test_a_source_is_described_once_and_every_description_is_used() -> None:
    assert not set(SOURCES) & set(CHECKED_AGAINST)
    assert set(CHECKED_AGAINST) <= {check.source for check in CHECKS}
    assert all(check.where and BIBLIOGRAPHY[check.source].title for check in CHECKS)


@pytest.mark.parametrize("check", CHECKS[::20], ids=lambda check: check.quantity)
def test_a_value_just_over_the_tolerance_is_seen(check: Check) -> None:
    over = check.published + 1.01 * check.allowed + 1e-9
    assert not replace(check, ours=lambda: over).compare().holds
    assert not replace(check, ours=lambda: math.nan).compare().holds


def test_a_share_in_percent_is_of_the_printed_value() -> None:
    def row(tolerance: str) -> Check:
        return Check("WMO_8", "a row", "hPa", 20.0, lambda: 20.15, tolerance, "page", "here")

    assert row("1 %").allowed == pytest.approx(0.2)
    assert row("1 %").compare().holds
    assert not row("0.5 %").compare().holds
    assert not row("0.1").compare().holds
    assert not row("exact").compare().holds


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("tolerance", "a little"),
        ("tolerance", "-1"),
        ("tolerance", "nan"),
        ("tolerance", "1 % or so"),
        ("source", "HEARSAY"),
        ("status", "believed"),
    ],
)
def test_a_row_without_source_status_or_tolerance_is_refused(field: str, value: str) -> None:
    changed: dict[str, Any] = {field: value}
    with pytest.raises(InputError) as refused:
        replace(CHECKS[0], **changed)
    assert refused.value.field == field
