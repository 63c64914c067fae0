"""Symptoms as small sketches: what a person sees at the saw, drawn as a draughtsman would in a margin."""

from functools import cache
from pathlib import Path

from markupsafe import Markup

from kerfsmith.faults.table import Symptom

_SKETCHES = Path(__file__).parent / "sketches"


@cache
def symptom_sketch(symptom: Symptom) -> Markup:
    """A sketch of a symptom; its name stands beside it, so the picture itself says nothing aloud."""
    file = _SKETCHES / f"{symptom.value.replace(' ', '-')}.svg"
    return Markup(file.read_text(encoding="utf-8"))
