"""Bars at once on a saw being weighed, before any bar is laid: what loads save, which band suits them.

Reckoned as if each line lay on bars of its own: so many of these as its pieces fill whole are alike.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.models.teeth_in_cut import TeethClass
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.planning.bundles import in_a_bundle, is_held, speaks_against
from kerfsmith.planning.lengths import over_um
from kerfsmith.planning.loads import best_loads, time_of_loads
from kerfsmith.planning.work import Work
from kerfsmith.shop.factors import Factor
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import mm_to_um


@dataclass(frozen=True, slots=True)
class Alike:
    """Bars of a group that will be alike: for each line (bars, cuts on each); ``total`` is all its bars."""

    lines: tuple[tuple[int, int], ...]
    total: int

    @property
    def most(self) -> int:
        """The most bars that are alike."""
        return max((bars for bars, _ in self.lines), default=0)

    @property
    def are_most(self) -> bool:
        """Whether most of the group's bars have others like them."""
        return 2 * sum(bars for bars, _ in self.lines if bars > 1) > self.total


def alike_bars(work: Work, saw: SawSheet, kerf_um: int, bars: Sequence[Bar], rules: ShopRules) -> Alike:
    """The bars each line fills by itself, of the longest on the rack and no more than one entry of it has;
    where there is none, of those in which it is bought."""
    stock = [bar for bar in bars if bar.kind is not BarKind.REMNANT]
    length_um = max((bar.length_um for bar in stock), default=rules.stock_length_um)
    counts = [bar.count for bar in stock if bar.length_um == length_um]
    left = max((work.pieces if count is None else count for count in counts), default=work.pieces)
    trim_um = mm_to_um(saw.facing_mm)
    usable_um = length_um - (trim_um + kerf_um if trim_um else 0) - mm_to_um(saw.least_grip_mm)
    found, taken_um = [], 0
    for line in sorted(work.lines, key=lambda line: (-line.length_um, line.id)):
        each_um = line.length_um + over_um(line) + kerf_um
        taken_um += line.quantity * each_um
        on_each = usable_um // each_um
        whole = min(line.quantity // on_each, left) if on_each > 0 else 0
        if whole:
            found.append((whole, on_each + bool(trim_um)))
            left -= whole
    return Alike(tuple(found), -(-taken_um // max(1, usable_um)))


def saved_seconds(
    alike: Alike,
    work: Work,
    saw: SawSheet,
    square: CutSetting,
    bundles: Mapping[int, CutSetting],
    factors: Sequence[Factor],
) -> float:
    """What the best loads of these bars save over cutting each alone."""
    time, sizes = time_of_loads(work, saw, (square,), bundles, factors), frozenset(bundles)
    saved_ms = 0
    for bars, cuts in alike.lines:
        loads = best_loads(bars, cuts, time, sizes)
        saved_ms += bars * time.of_load(cuts, 1) - sum(time.of_load(cuts, size) for size in loads)
    return saved_ms / 1000


def square_for_bundles(
    alike: Alike,
    work: Work,
    grade: Grade,
    saw: SawSheet,
    square: CutSetting,
    bars: Sequence[Bar],
    catalog: Catalog,
    rules: ShopRules,
) -> CutSetting | None:
    """The single square cut with the band that suits the largest load of these bars; None where that is the
    band of ``square``, or cuts a single bar worse or with another kerf."""
    if speaks_against(work, rules) is not None:
        return None
    condition = in_a_bundle(bars, rules)
    for count in range(min(rules.most_at_once, alike.most), 1, -1):
        bundle = set_cut(
            grade,
            work.section,
            saw,
            catalog.bands,
            catalog.corrections,
            bundle=count,
            condition=condition,
            hazard_texts=catalog.hazard_texts,
        )
        if not isinstance(bundle, CannotCut) and is_held(work.section, bundle):
            break
    else:
        return None
    if bundle.band.id == square.band.id or bundle.kerf_um != square.kerf_um:
        return None
    single = set_cut(
        grade,
        work.section,
        saw,
        catalog.bands,
        catalog.corrections,
        band_id=bundle.band.id,
        lie=work.lie or None,
        hazard_texts=catalog.hazard_texts,
    )
    too_few = TeethClass.TOO_FEW
    if isinstance(single, CannotCut) or (single.teeth_class is too_few and square.teeth_class is not too_few):
        return None
    return single
