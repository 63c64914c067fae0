"""Cautions: what is said to a person about a hazard, with where it was taken from."""

from dataclasses import dataclass

from kerfsmith.catalog.figure import Confidence


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence of caution for page, ticket and label, and the source it rests on."""

    text: str
    source: str
    where: str
    confidence: Confidence
