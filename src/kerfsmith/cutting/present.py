"""A section laid in the vise, alone or bundled, square, mitred or canted: the work that the band meets."""

from functools import lru_cache

from kerfsmith.catalog.section import Section
from kerfsmith.cutting.work import Work
from kerfsmith.geometry.bundle import bundle as bundled
from kerfsmith.geometry.bundle import usual_patterns
from kerfsmith.geometry.lay import Lie, lies
from kerfsmith.geometry.mitre import canted, mitred
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.scanline import scan
from kerfsmith.geometry.shapes import Shape

_PATTERN_WORDS = {
    "row": "one row",
    "rows": "rows",
    "hexagonal": "hexagonal rows",
    "staggered": "staggered rows",
}


def ways_to_lie(section: Section, bundle: int = 1) -> tuple[Lie, ...]:
    """Every lie of one bar, or every pattern of a bundle, the usual first; none if it isn't bundled."""
    if bundle == 1:
        return lies(section.shape)
    return _patterns(section.shape, bundle)


@lru_cache(maxsize=1024)
def _patterns(shape: Shape, count: int) -> tuple[Lie, ...]:
    found: dict[Outline, Lie] = {}
    for pattern in usual_patterns(shape, count):
        outline = bundled(shape, count, pattern)
        found.setdefault(outline, Lie(f"{count} in {_PATTERN_WORDS.get(pattern, pattern)}", outline))
    return tuple(found.values())


def present(
    section: Section, lie: Lie, *, angle_deg: float = 0.0, bundle: int = 1, cant_deg: float = 0.0
) -> Work:
    """The work of one section in one lie; kept, so that its scan is made once."""
    return _present(section.shape, lie, angle_deg, bundle, cant_deg)


@lru_cache(maxsize=4096)
def _present(shape: Shape, lie: Lie, angle_deg: float, bundle: int, cant_deg: float) -> Work:
    whole = lie.outline
    cut = canted(mitred(whole, angle_deg), cant_deg)
    return Work(
        scan=scan(cut),
        lie=lie.name,
        angle_deg=angle_deg,
        bundle=bundle,
        wall_mm=shape.wall_mm,
        structural=shape.is_structural,
        piece_width_mm=whole.width_mm,
        piece_height_mm=whole.height_mm,
        square_area_mm2=whole.area_mm2,
    )
