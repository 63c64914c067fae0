"""Which bands come into question, and in what order a person would reach for them."""

import math
from itertools import pairwise

from kerfsmith.catalog.band import MM_PER_INCH, Band, Edge
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.cutting.models.teeth_in_cut import (
    REFUSED,
    TeethClass,
    few_class,
    many_class,
    teeth,
)
from kerfsmith.cutting.work import Work

GRIT_ONLY = ("glass and ceramic", "glass- and carbon-fibre laminates")
GRIT_OR_CARBIDE = ("graphite and carbon",)

_EDGE_ORDER = (Edge.BIMETAL, Edge.CARBIDE, Edge.CARBON, Edge.DIAMOND_GRIT, Edge.CARBIDE_GRIT)


def suits(grade: Grade, band: Band) -> bool:
    """Whether an edge is used on a kind of material at all.

    Source: common practice; the material's own line in the catalog tells the speeds for grit and carbide.
    """
    if grade.group in GRIT_ONLY:
        return band.edge.is_grit
    if grade.group in GRIT_OR_CARBIDE:
        return band.edge in (Edge.CARBIDE, Edge.DIAMOND_GRIT)
    return not band.edge.is_grit


def printed_pitch_tpi(length_of_cut_mm: float, corrections: Corrections) -> float:
    """Mean pitch printed for a length of cut: a straight line in logarithms between the printed pairs.

    Beyond the last pair the teeth in the cut stay as many as there; before the first as few.
    """
    points = [(point.length_mm, (point.coarse_tpi + point.fine_tpi) / 2) for point in corrections.size]
    if length_of_cut_mm <= points[0][0]:
        return points[0][0] * points[0][1] / length_of_cut_mm
    if length_of_cut_mm >= points[-1][0]:
        return points[-1][0] * points[-1][1] / length_of_cut_mm
    for (low, low_tpi), (high, high_tpi) in pairwise(points):
        if length_of_cut_mm <= high:
            share = math.log(length_of_cut_mm / low) / math.log(high / low)
            return low_tpi * math.pow(high_tpi / low_tpi, share)
    raise AssertionError("points cover every length")


def least_teeth(work: Work, band: Band) -> float:
    """Teeth of the coarsest pitch in the thinnest chord that lasts; infinite for grit."""
    return teeth(work.lasting_chord_mm, band.pitch.coarse_mm) if band.pitch else math.inf


def most_teeth(work: Work, band: Band) -> float:
    """Teeth of the mean pitch in the longest chord; 0 for grit."""
    return teeth(work.longest_chord_mm, band.pitch.mean_mm) if band.pitch else 0.0


def too_coarse(work: Work, band: Band) -> bool:
    """Whether the thinnest chord that lasts would drop into a gullet: less than one tooth of the coarsest
    pitch.
    """
    return least_teeth(work, band) < REFUSED - 1e-9


def teeth_class(grade: Grade, work: Work, band: Band) -> TeethClass:
    """The class of a band's teeth in this work, few before many."""
    few = few_class(least_teeth(work, band))
    return few if few is not TeethClass.RIGHT else many_class(most_teeth(work, band), grade.soft_gummy)


def by_the_book(grade: Grade, work: Work, band: Band, corrections: Corrections) -> tuple[float, ...]:
    """Rank of a band, least first: teeth neither too few nor too many, then edge, then nearest to the printed
    pitch.

    The first two places also tell whether another lie would suit the teeth better.
    """
    edge = float(_EDGE_ORDER.index(band.edge))
    if band.pitch is None:
        return (0.0, 0.0, edge, 0.0, 0.0)
    few = few_class(least_teeth(work, band)) is TeethClass.TOO_FEW
    many = many_class(most_teeth(work, band), grade.soft_gummy) is TeethClass.MANY
    target = printed_pitch_tpi(work.length_of_cut_mm, corrections)
    off = abs(math.log(band.pitch.mean_tpi / target))
    # Where no band puts two teeth in the wall, the finest comes nearest to it.
    thin = -round(least_teeth(work, band), 1) if few else 0.0
    return (float(few), thin, float(many), edge, off)


def wanted_pitch_tpi(work: Work) -> float:
    """Coarsest pitch that puts three teeth in the thinnest chord that lasts."""
    return 3 * MM_PER_INCH / work.lasting_chord_mm
