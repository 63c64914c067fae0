"""What people write around a grade: numbering systems, product standards, material words, delivery."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

# A numbering system or a body: it names the list and not the material, so nothing is lost with it.
_SYSTEM = re.compile(
    r"(?:en\s*aw|aw|aisi\s*/?\s*sae|sae\s*/?\s*aisi|aisi|sae|uns|astm|asme|csa|en|din|bs|aa|ams|w\.?\s*-?nr\.?|wst\.?|mat\.?"
    r"|grade|type|alloy)[\s:\-]+(?P<rest>.+)",
    re.IGNORECASE,
)
# Standards of product form, which hold many grades: bar, tube, plate, extrusion.
_FORM = (
    r"(?:(?:astm|asme)\s*)?s?a-?\s?(?:29|108|240|269|276|311|312|322|331|434|479|511|519|554|564|582)(?:/a\d+m?)?"
    r"|(?:astm\s*)?b-?\s?(?:16|138|139|150|164|166|209|211|221|241|308|348|446|637)(?:/b\d+m?)?"
    r"|(?:din\s*)?en\s*10(?:025|083|084|088|210|219|272|277|278|305)(?:-\d)?(?:/\d)?"
)
_FORM_FIRST = re.compile(rf"(?P<dropped>{_FORM})[\s\-/,:]+(?P<rest>.+)", re.IGNORECASE)
_FORM_LAST = re.compile(rf"(?P<rest>.+?)[\s\-/,:]+(?P<dropped>{_FORM})", re.IGNORECASE)
# A word for the material: dropped only where the grade then found is of that family.
_MATERIALS = {
    "stainless steel": "stainless",
    "stainless": "stainless",
    "inox": "stainless",
    "ss": "stainless",
    "aluminium": "aluminium",
    "aluminum": "aluminium",
    "alu": "aluminium",
    "al": "aluminium",
    "brass": "copper",
    "bronze": "copper",
    "copper": "copper",
    "titanium": "titanium",
    "magnesium": "magnesium",
    "tool steel": "steel",
    "steel": "steel",
}
_MATERIAL = "|".join(word.replace(" ", r"\s+") for word in _MATERIALS)
_MATERIAL_FIRST = re.compile(rf"(?P<dropped>{_MATERIAL})[\s\-]+(?P<rest>.+)", re.IGNORECASE)
_MATERIAL_LAST = re.compile(rf"(?P<rest>.+?)[\s\-]+(?P<dropped>{_MATERIAL})", re.IGNORECASE)
# How a bar was delivered: it changes no figure of the catalog enough to make another grade of it.
_DELIVERY = re.compile(
    r"(?P<rest>.+?)(?P<dropped>\+(?:ar|cr|c|a|n|u|m|sh)"
    r"|(?:(?<=\d)|[\s\-,]+\(?)(?:hrs?|cd|cf|crs?|tgp)\)?"
    r"|[\s\-,]+\(?(?:(?:hot|cold)[\s-]*(?:rolled|drawn|finished)|ann|annealed|norm|normali[sz]ed|bar|smls|seamless|welded|erw)\)?)",
    re.IGNORECASE,
)
_PARTS = re.compile(r"[/()|;]")


@dataclass(frozen=True, slots=True)
class GradeReading:
    """One way to take a text: ``name`` to look up, what was ``ignored``, the ``family`` it must be of."""

    name: str
    ignored: tuple[str, ...] = ()
    family: str | None = None


def readings(text: str) -> Iterator[GradeReading]:
    """The ways to take ``text``, the one that leaves least out first."""
    waiting = [GradeReading(text.strip())]
    seen = set()
    while waiting:
        reading = waiting.pop(0)
        if reading.name and reading.name not in seen:
            seen.add(reading.name)
            yield reading
            waiting += _shorter(reading)


def parts_of(text: str) -> tuple[str, ...]:
    """The names in a text that gives several, such as "304L (1.4307)"; empty where it gives one."""
    parts = tuple(part.strip() for part in _PARTS.split(text) if part.strip())
    return parts if len(parts) > 1 else ()


def _shorter(reading: GradeReading) -> Iterator[GradeReading]:
    """The same text with one thing more left out."""
    if match := _SYSTEM.fullmatch(reading.name):
        yield GradeReading(match["rest"], reading.ignored, reading.family)
    for pattern in (_FORM_FIRST, _FORM_LAST, _DELIVERY):
        if match := pattern.fullmatch(reading.name):
            dropped = match["dropped"].strip(" -,()")
            yield GradeReading(match["rest"], (*reading.ignored, dropped), reading.family)
    for pattern in (_MATERIAL_FIRST, _MATERIAL_LAST):
        if match := pattern.fullmatch(reading.name):
            family = _MATERIALS[" ".join(match["dropped"].casefold().split())]
            if reading.family in (None, family):
                yield GradeReading(match["rest"], (*reading.ignored, match["dropped"]), family)
