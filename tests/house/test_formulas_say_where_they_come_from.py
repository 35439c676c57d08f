"""Rule 4 and 5: a formula names its unit and its source, and a source has one entry."""

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import models
import service
from models.sources import BASES, SOURCES
from tests.published.facts import KINDS, facts

KEY = re.compile(r"\b[A-Z][A-Z0-9]*(?:_[A-Z0-9]+)+\b")
ROOMS = ("models.air", "models.concrete", "models.coating", "models.piece", "models.steps")
NO_FORMULAS = ("models.steps.registry",)
# a definition, a law of nature or the maker's own paper needs no book
PLAIN = re.compile(
    r"definition|geometry|energy balance|Archimedes|Stefan-Boltzmann|Fourier|Gaussian conditioning"
    r"|beam theory|product sheet|the bag's own|first-order|Almanac|Abrams|classes of facts"
)
UNIT = re.compile(r"\[[^\]]*\]|dimensionless|boolean|degrees")
DOMAINS = "com|org|net|gov|edu|uk|de|dk|be|cz|ru|cn|ca|ac|ae|id|info|io|int|app|nz|codes"
ADDRESS = re.compile(rf"\b[\w-]+\.(?:{DOMAINS})\b|\bdoi 10\.")
CLAUSE = re.compile(r"\b(?:table|section|clause|annex|equation)s? [\dA-Z]|\b\d+\.\d+")


def modules(prefixes: tuple[str, ...]) -> Iterator[object]:
    for info in pkgutil.walk_packages(models.__path__, "models."):
        if info.name.startswith(prefixes) and info.name not in NO_FORMULAS:
            yield importlib.import_module(info.name)


def public_functions(prefixes: tuple[str, ...]) -> Iterator[tuple[str, Callable[..., object]]]:
    for module in modules(prefixes):
        for name, member in vars(module).items():
            plain = getattr(member, "py_func", member)
            if not inspect.isfunction(plain) or name.startswith("_"):
                continue
            if plain.__module__ == module.__name__:  # type: ignore[attr-defined]
                yield f"{plain.__module__}.{name}", plain


def is_kernel(name: str) -> bool:
    return any(part.startswith("_") for part in name.split("."))


def opens_a_step(function: Callable[..., object]) -> bool:
    """Criteria carry their sources in what they return."""
    return str(inspect.signature(function).return_annotation).endswith("StepOpening'>") or (
        getattr(inspect.signature(function).return_annotation, "__name__", "") == "StepOpening"
    )


FORMULAS = dict(public_functions(ROOMS))


def test_there_are_formulas_to_look_at() -> None:
    assert len(FORMULAS) > 50


def test_every_formula_has_a_docstring_with_its_source() -> None:
    bare, unsourced = [], []
    for name, function in FORMULAS.items():
        text = inspect.getdoc(function) or ""
        if not text:
            bare.append(name)
        if is_kernel(name) or opens_a_step(function):
            continue
        _, there, cited = text.rpartition("Source:")
        if not there or not (KEY.search(cited) or PLAIN.search(cited)):
            unsourced.append((name, cited))
    assert bare == []
    assert unsourced == [], "no Source:, or nothing in it that can be looked up"


def test_every_formula_says_its_unit() -> None:
    """What returns a record of its own leaves the units to that record's fields."""
    silent = [
        name
        for name, function in FORMULAS.items()
        if not is_kernel(name)
        and re.search("float|ndarray", str(inspect.signature(function).return_annotation))
        and not UNIT.search(inspect.getdoc(function) or "")
    ]
    assert silent == []


def test_every_key_a_formula_cites_is_in_the_bibliography() -> None:
    unknown = {
        (name, key)
        for name, function in FORMULAS.items()
        for key in KEY.findall((inspect.getdoc(function) or "").partition("Source:")[2])
        if key not in SOURCES
    }
    assert not unknown


def test_every_key_a_fact_cites_is_in_the_bibliography() -> None:
    unknown = set()
    for module in modules(("models.facts",)):
        for row in walk(vars(module)):
            for key in getattr(row, "sources", ()):
                if key not in SOURCES:
                    unknown.add((getattr(module, "__name__", ""), key))
        text = inspect.getdoc(module) or ""
        if "Source:" in text:
            unknown |= {
                (getattr(module, "__name__", ""), key)
                for key in KEY.findall(text.split("Source:")[1])
                if key not in SOURCES
            }
    assert not unknown


def written(module: object) -> str:
    """The text of a module; an empty __init__ has none."""
    return Path(str(module.__file__)).read_text(encoding="utf-8")  # type: ignore[attr-defined]


def walk(values: dict[str, object]) -> Iterator[object]:
    for value in values.values():
        if isinstance(value, dict):
            yield from value.values()
        else:
            yield value


def test_every_criterion_cites_known_sources() -> None:
    pattern = re.compile(r'"([A-Z][A-Z0-9]*(?:_[A-Z0-9]+)+)"')
    cited = {
        (getattr(module, "__name__", ""), key)
        for module in modules(("models.steps", "models.planning", "models.simulation"))
        for key in pattern.findall(written(module))
    }
    assert cited
    assert not {pair for pair in cited if pair[1] not in SOURCES}


def test_an_entry_says_how_it_is_known_and_a_reader_outside_can_follow_it() -> None:
    """12-answers F6: of 44 sources called a page 17 had no address."""
    wrong = []
    for key, source in SOURCES.items():
        if source.basis not in BASES or not source.title:
            wrong.append((key, "no title, or known by no basis"))
        if re.search("stored|facts file|station manual", source.where):
            wrong.append((key, "where nobody outside can look"))
        if source.basis in ("page", "library", "open data") and not ADDRESS.search(source.where):
            wrong.append((key, "seen, but not where"))
        if source.basis == "standard" and not CLAUSE.search(source.where):
            wrong.append((key, "no clause"))
    assert wrong == []


def test_every_entry_of_the_bibliography_is_cited_somewhere() -> None:
    folders = (
        Path(models.__file__).parent,
        Path(service.__file__).parent,
        Path(__file__).parents[1],
    )
    files = [file for folder in folders for file in folder.rglob("*.py")]
    text = "".join(f.read_text(encoding="utf-8") for f in files if f.parent.name != "sources")
    assert set(SOURCES) == set(KEY.findall(text)) & set(SOURCES)


def test_every_numbered_standard_that_the_science_names_is_in_the_bibliography() -> None:
    """Also in a comment: a reader outside must be able to follow it."""
    numbered = re.compile(r"\b(?:ACI|ASTM|DIN|EN|ISO|NBS|NIST|UFC|UFGS|WMO)_[A-Z]{0,2}_?\d\w*")
    folder = Path(models.__file__).parent
    named = {
        key: file.name
        for file in folder.rglob("*.py")
        for key in numbered.findall(file.read_text(encoding="utf-8"))
    }
    assert len(named) > 20
    assert not {key: file for key, file in named.items() if key not in SOURCES}


def test_every_constant_of_the_facts_says_how_it_is_known() -> None:
    """By a key of the bibliography, or by a word: 12-answers section F."""
    told = facts()
    assert len(told) > 100
    assert [name for name, kind, _ in told if kind not in KINDS] == []


def test_no_fact_cites_a_file_that_nobody_outside_can_open() -> None:
    inside = re.compile(r"\d-[a-z]+ section|the facts file|stored (?:guide|station)")
    folder = Path(models.__file__).parent
    found = {f.name for f in folder.rglob("*.py") if inside.search(f.read_text(encoding="utf-8"))}
    assert not found
