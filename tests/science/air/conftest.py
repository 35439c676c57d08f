"""The record of 2013, loaded by path: nothing under tests/ is a package."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def record_2013() -> ModuleType:
    path = Path(__file__).parents[2] / "replays" / "record_2013.py"
    name = "castclock_tests_record_2013"
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, path)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]
