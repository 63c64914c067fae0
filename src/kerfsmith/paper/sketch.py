"""The section as it lies in the vise, drawn as a draughtsman draws it: outline, hatching, centre lines,
dimensions.

All of it is lines in an SVG, in millimetres of paper; the figures stand beside as text, so that a PDF can be
searched and a label's size does not depend on what draws the SVG. Line widths follow the two widths of ISO
128-2 that a wet thumb leaves standing: 0.7 mm for edges, 0.35 mm for all else.
"""

from collections.abc import Iterable

from kerfsmith.geometry.draw import Segment, centre_lines, frame, hatching, path
from kerfsmith.geometry.outline import Outline
from kerfsmith.paper.ticket_page import Lettering, Sketch
from kerfsmith.units.length import Measure, mm_to_um
from kerfsmith.units.show import show_length

SCALES = (5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50)
"""Scales to choose from (ISO 5455)."""
_ROOM_MM = (46.0, 34.0)
_JAW_MM = 6.0
_CLEAR_MM = 0.35
_ABOVE_MM = 7.0
_BED_MM = 3.0
_BELOW_MM = 8.0
_BESIDE_MM = 9.0
_EDGE = 'fill="none" stroke="#000" stroke-width="0.7" stroke-linejoin="round"'
_BED = 'fill="none" stroke="#000" stroke-width="1.2"'
_THIN = 'fill="none" stroke="#000" stroke-width="0.3"'
_CHAIN = 'fill="none" stroke="#000" stroke-width="0.25" stroke-dasharray="5 1 0.8 1"'


def sketch(outline: Outline, measure: Measure) -> Sketch:
    """``outline`` (mm, as it lies in the vise, y up) between the jaws, the band above it, with its two
    dimensions."""
    scale = _scale(outline)
    width, height = outline.width_mm * scale, outline.height_mm * scale
    jaw_mm = max(min(height, _ROOM_MM[1]) * 0.8, 8.0)
    left, head_mm = _JAW_MM + _CLEAR_MM, _ABOVE_MM + max(0.0, jaw_mm + 3.0 - height)
    full_mm = (width + 2 * left + _BESIDE_MM, head_mm + height + _BED_MM + _BELOW_MM)
    parts = [
        *_section(outline, scale, left, head_mm),
        *_vise(left, head_mm, width, height, jaw_mm),
        *_band(full_mm[0] - _BESIDE_MM),
        *_dimensions(left, head_mm, width, height),
    ]
    return Sketch(
        svg=_svg(full_mm, parts),
        width_mm=full_mm[0],
        height_mm=full_mm[1],
        lettering=(
            _letter(left + width / 2, full_mm[1] - 2.6, outline.width_mm, measure),
            _letter(full_mm[0] - 2.6, head_mm + height / 2, outline.height_mm, measure, turned=True),
        ),
        scale=f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}",
    )


def _letter(x_mm: float, y_mm: float, size_mm: float, measure: Measure, *, turned: bool = False) -> Lettering:
    return Lettering(x_mm, y_mm, show_length(mm_to_um(size_mm), measure), turned)


def _scale(outline: Outline) -> float:
    for scale in SCALES:
        if outline.width_mm * scale <= _ROOM_MM[0] and outline.height_mm * scale <= _ROOM_MM[1]:
            return scale
    return SCALES[-1]


def _svg(full_mm: tuple[float, float], parts: Iterable[str]) -> str:
    width, height = full_mm
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm" '
        f'viewBox="0 0 {width:.3f} {height:.3f}">{"".join(parts)}</svg>'
    )


def _section(outline: Outline, scale: float, left: float, top: float) -> list[str]:
    """Edges, 45 degree hatching clipped to the metal, and centre lines a little beyond."""
    at = frame(outline, scale)
    spacing = 1.6 if min(outline.width_mm, outline.height_mm) * scale < 20 else 2.4
    hatch = _strokes(at.segment(one) for one in hatching(outline, spacing / scale))
    centres = _strokes(at.segment(one) for one in centre_lines(outline, 2.5 / scale))
    return [
        f'<g transform="translate({left:.3f} {top:.3f})">',
        f'<path d="{hatch}" {_THIN}/><path id="edge" d="{path(outline, at)}" {_EDGE}/>',
        f'<path d="{centres}" {_CHAIN}/></g>',
    ]


def _strokes(segments: Iterable[Segment]) -> str:
    """Path data of straight strokes; a single point where there is none, since a path may not be empty."""
    return "".join(f"M{x0:.3f} {y0:.3f}L{x1:.3f} {y1:.3f}" for (x0, y0), (x1, y1) in segments) or "M0 0"


def _vise(left: float, top: float, width: float, height: float, jaw_mm: float) -> list[str]:
    """Jaws on both sides and the bed below, edges only, hatched the other way."""
    low = top + height
    jaws = []
    for x in (left - _JAW_MM - _CLEAR_MM, left + width + _CLEAR_MM):
        strokes = "".join(
            f"M{x:.3f} {low - jaw_mm + k * 2.0:.3f}l{_JAW_MM:.3f} {_JAW_MM / 2:.3f}"
            for k in range(int((jaw_mm - _JAW_MM / 2) / 2.0) + 1)
        )
        jaws.append(f'<path d="M{x:.3f} {low - jaw_mm:.3f}h{_JAW_MM}v{jaw_mm:.3f}h-{_JAW_MM}z" {_EDGE}/>')
        jaws.append(f'<path d="{strokes}" {_THIN}/>')
    x0, x1 = left - _JAW_MM - _CLEAR_MM, left + width + _JAW_MM + 0.35
    return [*jaws, f'<path d="M{x0:.3f} {low + 0.7:.3f}H{x1:.3f}" {_BED}/>']


def _band(width: float) -> list[str]:
    """The band above the work, teeth down, and the way it feeds."""
    pitch_mm = 1.5
    teeth = f"v1.3l-{pitch_mm} -1.3" * int(width / pitch_mm)
    x = width - _JAW_MM / 2 - _CLEAR_MM
    return [
        f'<path d="M0 0.4H{width:.3f}" {_THIN}/><path d="M{width:.3f} 2.0{teeth}" {_THIN}/>',
        f'<path d="M{x:.3f} 4.2v2.6" {_EDGE}/><path d="M{x - 1.4:.3f} 6.4h2.8l-1.4 2.4z" fill="#000"/>',
    ]


def _dimensions(left: float, top: float, width: float, height: float) -> list[str]:
    """Dimension lines below and to the right, with filled arrowheads (ISO 129-1)."""
    low, right = top + height, left + width
    jaw = right + _CLEAR_MM + _JAW_MM
    y, x = low + _BED_MM + 1.2, jaw + 3.0
    return [
        f'<path d="M{left:.3f} {low + 1.6:.3f}V{y + 1.2:.3f}M{right:.3f} {low + 1.6:.3f}V{y + 1.2:.3f}'
        f"M{left:.3f} {y:.3f}H{right:.3f}M{right + 0.8:.3f} {top:.3f}H{x + 1.2:.3f}"
        f'M{jaw + 0.8:.3f} {low:.3f}H{x + 1.2:.3f}M{x:.3f} {top:.3f}V{low:.3f}" {_THIN}/>',
        *(_arrow(px, y, dx, 0) for px, dx in ((left, 1), (right, -1))),
        *(_arrow(x, py, 0, dy) for py, dy in ((top, 1), (low, -1))),
    ]


def _arrow(x: float, y: float, dx: int, dy: int) -> str:
    long_mm, half_mm = 2.2, 0.6
    base_x, base_y = x + dx * long_mm, y + dy * long_mm
    return (
        f'<path d="M{x:.3f} {y:.3f}L{base_x + dy * half_mm:.3f} {base_y + dx * half_mm:.3f}'
        f'L{base_x - dy * half_mm:.3f} {base_y - dx * half_mm:.3f}z" fill="#000"/>'
    )
