"""How tests that draw their cases draw them: the same ones at every run, so that a check means the same
everywhere. ``pytest --hypothesis-profile search`` draws others, to look for what nobody has met yet.

And in which order files are begun: the longest first, so that workers end together.
"""

import sys
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None, print_blob=True)
settings.load_profile("same")

HERE = Path(__file__).parent
LONGEST = (
    "web/test_browser.py",
    "web/shift/test_glass.py",
    "docs/test_manual.py",
    "docs/test_examples.py",
    "web/week/test_week_browser.py",
    "web/week/test_week.py",
    "attack/test_interface.py",
    "nesting/test_random_rooms.py",
    "web/shift/test_language_of_the_floor.py",
    "web/test_cut_in_browser.py",
    "wiring/test_plan_nc.py",
    "records/test_storms.py",
    "cutting/test_sweep.py",
    "workflow/test_loads_at_random.py",
    "planning/test_polish.py",
    "cli/test_commands.py",
    "web/shift/test_manual_and_files_out.py",
    "web/shift/test_loads_on_the_glass.py",
    "nesting/test_faces.py",
    "nesting/test_referee.py",
    "cli/test_week_command.py",
    "workflow/test_whole_plan.py",
)
"""Files of half a minute or so, from ``pytest --durations=80``; a shorter one need not be here."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the longest files first; within a file, and among the others, the order stays."""
    _refuse_imported_conftests()
    place = {HERE / name: place for place, name in enumerate(LONGEST)}
    gone = [str(path) for path in place if not path.exists()]
    if gone:
        raise pytest.UsageError(f"named in {__file__}, but not there: {', '.join(gone)}")
    items.sort(key=lambda item: place.get(item.path, len(place)))


def _refuse_imported_conftests() -> None:
    """A ``conftest.py`` that a test imports is there twice, with all that it keeps, browsers too."""
    files = [getattr(module, "__file__", None) for module in list(sys.modules.values())]
    twice = [
        file for file, times in Counter(files).items() if times > 1 and file and file.endswith("conftest.py")
    ]
    if twice:
        raise pytest.UsageError(f"imported by a test; move what it needs beside it: {', '.join(twice)}")
