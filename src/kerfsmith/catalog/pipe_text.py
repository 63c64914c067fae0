"""Pipe by nominal size and schedule, in the ways people write it."""

import re

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.section_tokens import bare_value, fraction_text
from kerfsmith.errors import UnreadableText
from kerfsmith.units.parse import Unit, unit_named
from kerfsmith.units.told import Told, sentence

_WEIGHTS = (
    ("XXS", r"xxs|xxh|xx-?strong|double[\s-]*extra[\s-]*(?:strong|heavy)|dbl\.?\s*x"),
    ("XS", r"xs|xh|x-?strong|x-?heavy|extra[\s-]*(?:strong|heavy)"),
    ("STD", r"std\.?|standard(?:\s*weight)?"),
)
_SCHEDULE = re.compile(
    r"(?<![a-z])s(?:ch|chd|chedule|ched|/)\.?\s*-?\s*(?P<number>\d+\s*s?|std|xs|xxs)(?![\w])", re.I
)
_WEIGHT = re.compile(
    "|".join(rf"(?P<{name}>(?<![a-z])(?:{words})(?![a-z]))" for name, words in _WEIGHTS), re.I
)
_SIZE = re.compile(
    r"(?P<number>\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+)"
    r"\s*-?\s*(?P<unit>\"|in\.?|ins|inch(?:es)?|mm)?",
    re.I,
)
_LEFT_OVER = re.compile(r"pipes?|nps|nb|dn|smls|seamless|welded|erw|[\s,;:.\-x*]+", re.I)
HOW = "write it as NPS 4 Sch 40, NPS 4 XS or DN 100 Sch 40"


def read_pipe(written: str, catalog: Catalog) -> Section | None:
    """The pipe that ``written`` names by size and schedule, None where it doesn't speak of a schedule at all.

    Raises UnreadableText when size or schedule is missing, or the standard has no such pipe.
    """
    says_pipe = re.search(r"(?<![a-z])(pipes?|nps|dn)(?![a-z])", written, re.I)
    schedule, rest = _schedule(written, bool(says_pipe))
    if schedule is None:
        if says_pipe and len(_SIZE.findall(written)) < 2:
            raise UnreadableText(written, "gives no schedule, so its wall isn't known", HOW)
        return None
    sizes = list(_SIZE.finditer(rest))
    left = _LEFT_OVER.sub("", _SIZE.sub("", rest))
    if len(sizes) != 1 or left:
        problem = (
            sentence("has more than a size and a schedule, {left}", left=f"{left!r}")
            if left
            else Told("needs just one nominal size")
        )
        raise UnreadableText(written, problem, HOW)
    name = f"{_size_name(written, sizes[0])} {schedule}"
    found = catalog.section_called(name)
    if found is None:
        raise UnreadableText(
            written, sentence("{name} isn't in the pipe tables", name=name), _offer(name, catalog)
        )
    return found


def _schedule(written: str, says_pipe: bool) -> tuple[str | None, str]:
    """The schedule as the tables name it, and the text without it."""
    match = _SCHEDULE.search(written)
    if match:
        number = match["number"].replace(" ", "").upper()
        name = number if number in ("STD", "XS", "XXS") else f"Sch {number}"
        return name, written[: match.start()] + " " + written[match.end() :]
    weight = _WEIGHT.search(written) if says_pipe else None
    if weight is None or weight.lastgroup is None:
        return None, written
    return weight.lastgroup, written[: weight.start()] + " " + written[weight.end() :]


def _size_name(written: str, size: re.Match[str]) -> str:
    """NPS 1 1/2, or DN 100. A size in mm without DN is refused: it may be nominal or a true diameter."""
    value = bare_value(size["number"])
    is_dn = re.search(r"(?<![a-z])dn(?![a-z])", written, re.I)
    unit = unit_named(size["unit"]) if size["unit"] else None
    if is_dn:
        return f"DN {float(value):g}"
    if unit is Unit.MM or value > 48:
        raise UnreadableText(written, "gives a pipe's size in mm but not whether it is nominal", HOW)
    return f"NPS {fraction_text(value)}"


def _offer(name: str, catalog: Catalog) -> str:
    """The schedules that the tables hold for this size."""
    size = re.sub(r"\s+(Sch \S+|STD|XS|XXS)$", "", name) + " "
    known = [
        each for row in catalog.section_rows for each in (row.name, *row.aliases) if each.startswith(size)
    ]
    schedules = sorted({each.removeprefix(size) for each in known}, key=lambda text: (len(text), text))
    return (
        sentence("for {size} there is {schedules}", size=size.strip(), schedules=", ".join(schedules))
        if schedules
        else HOW
    )
