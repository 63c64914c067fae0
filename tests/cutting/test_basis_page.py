"""The basis page can't drift: every model is on it, and it names no model that isn't there."""

import importlib
import inspect
import pkgutil
import re
from pathlib import Path

import kerfsmith.cutting.models as models
from kerfsmith.catalog.catalog import Catalog

PAGE = Path(__file__).parents[2] / "src" / "kerfsmith" / "manual" / "pages" / "basis.md"


def _models() -> set[str]:
    found = set()
    for _, short, _ in pkgutil.iter_modules(models.__path__):
        module = importlib.import_module(f"kerfsmith.cutting.models.{short}")
        for name, value in inspect.getmembers(module, inspect.isfunction):
            if value.__module__ == module.__name__ and not name.startswith("_"):
                found.add(f"{short}.{name}")
    return found


def test_every_model_is_on_the_basis_page_and_every_model_there_exists() -> None:
    named = set(re.findall(r"`(\w+\.\w+)`", PAGE.read_text(encoding="utf-8")))
    known = _models()
    assert known <= named
    assert {name for name in named if not name.endswith((".py", ".toml"))} <= known


def test_every_source_that_a_model_names_is_in_the_bibliography(catalog: Catalog) -> None:
    """A constant of a model in capitals and a span's source are keys of it."""
    known = {source.key for source in catalog.sources}
    named: set[str] = set()
    for _, short, _ in pkgutil.iter_modules(models.__path__):
        module = importlib.import_module(f"kerfsmith.cutting.models.{short}")
        named |= {value for key, value in vars(module).items() if key.isupper() and isinstance(value, str)}
        named |= {span.source for span in getattr(module, "RANGE", ())}
    assert named <= known
    assert {"Taylor1907", "Gilbert1950", "Kienzle1952", "Goodman1899", "Timoshenko1961"} <= named
