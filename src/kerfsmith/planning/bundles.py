"""How many bars of a group may be cut at once on a saw, with which settings, and what keeps it from more."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import fsum
from types import MappingProxyType

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.condition import AS_USUAL, Condition
from kerfsmith.cutting.models.teeth_in_cut import TeethClass
from kerfsmith.cutting.present import ways_to_lie
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.planning.factored import with_factors
from kerfsmith.planning.plan import GroupTimes, PlannedBar
from kerfsmith.planning.times import idle_seconds_per_cut, index_factor, index_seconds
from kerfsmith.planning.work import Work
from kerfsmith.shop.factors import Factor
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import Told, quantity, sentence


@dataclass(frozen=True, slots=True)
class Bundles:
    """The square cut's setting for each number of bars that may be cut at once, two and more.

    ``note`` says what keeps a group from larger bundles, or from any; None where the shop's rule alone does.
    ``band_note`` says why the band is theirs; None where it is the single cut's.
    """

    settings: Mapping[int, CutSetting] = field(default_factory=lambda: MappingProxyType({}))
    note: Told | None = None
    band_note: Told | None = None

    @property
    def most(self) -> int:
        """The most bars that may be cut at once."""
        return max(self.settings, default=1)


NO_BUNDLES = Bundles()


def bundles_for(
    work: Work,
    grade: Grade,
    saw: SawSheet,
    square: CutSetting,
    bars: Iterable[Bar],
    catalog: Catalog,
    rules: ShopRules,
    factors: Sequence[Factor] = (),
) -> Bundles:
    """The bundles of a group on ``saw``, whose single square cut is ``square``.

    A run has one band, so a bundle is cut with that of ``square``: where its pitch won't do for several bars
    they are cut alone. A number of bars at which nothing is saved over cutting them alone is left out.
    """
    if rules.most_at_once == 1:
        return NO_BUNDLES
    against = speaks_against(work, rules)
    if against is not None:
        return Bundles(note=against)
    condition = in_a_bundle(bars, rules)
    # What neither sawing nor the number of bars changes: head, clamps, feeding the mean piece.
    beside_s = index_factor(factors) * (idle_seconds_per_cut(saw) + mean_index_seconds(work.lines, saw))
    settings: dict[int, CutSetting] = {}
    refused: dict[int, Told] = {}
    for count in range(2, rules.most_at_once + 1):
        answer = set_cut(
            grade,
            work.section,
            saw,
            catalog.bands,
            catalog.corrections,
            bundle=count,
            condition=condition,
            band_id=square.band.id,
            hazard_texts=catalog.hazard_texts,
        )
        if isinstance(answer, CannotCut):
            refused[count] = _why_not(answer)
            continue
        setting = with_factors(answer, grade, work.section, rules.factors)
        if setting.teeth_class is TeethClass.TOO_FEW and square.teeth_class is not TeethClass.TOO_FEW:
            refused[count] = sentence("the band has too few teeth in them")
        elif not is_held(work.section, setting):
            refused[count] = sentence("the vise doesn't hold a top row that isn't full")
        elif setting.cut_seconds + beside_s >= count * (square.cut_seconds + beside_s):
            refused[count] = sentence("it saves no time over cutting them alone")
        else:
            settings[count] = setting
    return Bundles(MappingProxyType(settings), _limit(settings, refused))


def in_a_bundle(bars: Iterable[Bar], rules: ShopRules) -> Condition:
    """What a bundle of these bars is cut under: as usual, with the longest of them to be carried."""
    longest_um = max((bar.length_um for bar in bars), default=rules.stock_length_um)
    return replace(AS_USUAL, bar_length_mm=um_to_mm(longest_um))


def is_held(section: Section, setting: CutSetting) -> bool:
    """Whether the jaws close on every row of a bundle laid in rows: the last is as full as the others.

    Rounds in the hollows of others are wedged by them, and one row has no other.
    """
    if not setting.lie.endswith(" in rows"):
        return True
    whole = next(
        (way.outline for way in ways_to_lie(section, setting.bundle) if way.name == setting.lie), None
    )
    one = ways_to_lie(section)[0].outline
    if whole is None:
        return False
    in_a_row, rows = (round(whole.width_mm / one.width_mm), round(whole.height_mm / one.height_mm))
    return in_a_row * rows == setting.bundle


def mean_index_seconds(lines: Iterable[OrderLine], saw: SawSheet) -> float:
    """Seconds to bring the mean piece forward."""
    told = [(line.quantity, index_seconds(saw, um_to_mm(line.length_um))) for line in lines]
    return fsum(count * seconds for count, seconds in told) / sum(count for count, _ in told)


def speaks_against(work: Work, rules: ShopRules) -> Told | None:
    """What in the order speaks against bundles, whatever the saw."""
    mitred = min((line for line in work.lines if line.is_mitred), key=_by_mark, default=None)
    if mitred is not None:
        return sentence(
            "cut bar by bar: {mark} has mitred ends, and in a bundle they would shift", mark=mitred.mark
        )
    told = sorted((line for line in work.lines if _either_um(line) is not None), key=_by_mark)
    tight = min(told, key=_tightness, default=None)
    if tight is None or _tightness(tight) >= rules.bundle_tolerance_um:
        return None
    return sentence(
        "cut bar by bar: {mark} may be off by {allowed} either way, bars at once by {least} and more",
        mark=tight.mark,
        allowed=quantity(um_to_mm(_tightness(tight)), "mm"),
        least=quantity(um_to_mm(rules.bundle_tolerance_um), "mm"),
    )


def _by_mark(line: OrderLine) -> tuple[str, str]:
    return line.mark, line.id


def _either_um(line: OrderLine) -> int | None:
    """How far a length may be off its middle; None where its tolerance isn't stated both ways."""
    if line.plus_um is None or line.minus_um is None:
        return None
    return (line.plus_um + line.minus_um) // 2


def _tightness(line: OrderLine) -> int:
    return _either_um(line) or 0


def _why_not(answer: CannotCut) -> Told:
    return next((found[0].text for _, found in answer.misfits if found), answer.text)


def _limit(settings: Mapping[int, CutSetting], refused: Mapping[int, Told]) -> Told | None:
    """What keeps the group from the next larger bundle, where it isn't the shop's rule."""
    most = max(settings, default=1)
    beyond = next(((count, why) for count, why in refused.items() if count > most), None)
    if beyond is None:
        return None
    count, why = beyond
    if most == 1:
        return sentence("cut bar by bar: for {count} at once, {why}", count=count, why=why)
    return sentence("no more than {most} at once: for {count}, {why}", most=most, count=count, why=why)


def bundles_used(bundles: Bundles, counts: Iterable[int]) -> tuple[CutSetting, ...]:
    """The settings of the numbers of bars that a plan uses, fewest first."""
    return tuple(bundles.settings[count] for count in sorted(set(counts)) if count > 1)


def time_words(seconds: float) -> str:
    """A stretch of saw time as notes say it."""
    return f"{seconds / 60:.0f} min" if seconds < 3600 else f"{seconds / 3600:.1f} h"


def bundle_notes(
    bars: Sequence[PlannedBar], bundles: Bundles, times: GroupTimes, alone: GroupTimes
) -> Iterator[Told]:
    """What bars cut at once save over the same bars cut alone, and what keeps the group from more."""
    sizes = {bar.at_once for bar in bars if bar.at_once > 1}
    if sizes:
        most = max(sizes)
        yield sentence(
            "{bars} bars are cut {at_once}, which saves {time} of the saw",
            bars=sum(bar.times for bar in bars if bar.at_once > 1),
            at_once=sentence("{most} at once", most=most)
            if len(sizes) == 1
            else sentence("up to {most} at once", most=most),
            time=time_words(alone.total_s - times.total_s),
        )
        if bundles.band_note is not None:
            yield bundles.band_note
        yield sentence(
            "bars at once are clamped from above as well, square, and by the manual of the saw; measure the "
            "first piece of each"
        )
    if bundles.note is not None and sum(bar.times for bar in bars) > 1:
        yield bundles.note
