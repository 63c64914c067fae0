"""Which saw takes a group: each saw is tried, and of those that fit the cheapest in saw hours is taken."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import fsum

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CannotCut, CutSetting, Misfit
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.planning.bundles import NO_BUNDLES, Bundles, bundles_for
from kerfsmith.planning.factored import factors_used, with_factors
from kerfsmith.planning.foresee_loads import Alike, alike_bars, saved_seconds, square_for_bundles
from kerfsmith.planning.lengths import unpromised
from kerfsmith.planning.plan import SawTried
from kerfsmith.planning.times import idle_seconds_per_cut, index_factor, index_seconds
from kerfsmith.planning.work import Work
from kerfsmith.shop.factors import Factor
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import UM_PER_MM, um_to_mm
from kerfsmith.units.told import Told, quantity, sentence

AS_THEY_COME = ShopRules()


@dataclass(frozen=True, slots=True)
class Trial:
    """One saw tried for one group: its settings by angle and the bars it can take, or its misfits.

    ``hours`` are those with the loads that can be foreseen, where bars may be cut at once.
    """

    saw: SawSheet
    settings: tuple[CutSetting, ...]
    bars: tuple[Bar, ...]
    misfits: tuple[Misfit, ...]
    hours: float
    cost: float
    mass_kg_per_m: float
    factors: tuple[Factor, ...] = ()
    bundles: Bundles = NO_BUNDLES
    usual: "Trial | None" = None
    """The same with the single cut's band, where this one's suits bars at once."""

    @property
    def fits(self) -> bool:
        """Whether the saw takes every cut of the group."""
        return not self.misfits

    def tried(self) -> SawTried:
        """The same for the plan."""
        return SawTried(
            saw=self.saw.id,
            saw_name=self.saw.name,
            fits=self.fits,
            hours=self.hours if self.fits else None,
            cost=self.cost if self.fits else None,
            misfits=self.misfits,
        )


def try_saws(
    work: Work, grade: Grade, catalog: Catalog, bars: Sequence[Bar], rules: ShopRules = AS_THEY_COME
) -> tuple[Trial, ...]:
    """Every saw of the catalog tried for ``work``: those that fit first, the cheapest hours at the top.

    Where the shop cuts bars at once the hours are those with the loads that can be foreseen.
    """
    trials = [_try(work, grade, saw, catalog, bars, rules) for saw in catalog.saws]
    return tuple(sorted(trials, key=lambda trial: (not trial.fits, trial.cost, trial.hours, trial.saw.id)))


def fitting_first(work: Work, trials: Sequence[Trial]) -> list[Trial]:
    """The saws that fit, those first whose index keeps most lengths."""
    fitting = [trial for trial in trials if trial.fits]
    # Sorting is stable: of saws that keep as many lengths the cheapest stays first.
    return sorted(fitting, key=lambda trial: unpromised(work.lines, trial.saw, trial.settings[0].kerf_um))


def _try(
    work: Work, grade: Grade, saw: SawSheet, catalog: Catalog, bars: Sequence[Bar], rules: ShopRules
) -> Trial:
    settings: list[CutSetting] = []
    misfits: list[Misfit] = []
    for angle_deg in work.angles_deg:
        answer = set_cut(
            grade,
            work.section,
            saw,
            catalog.bands,
            catalog.corrections,
            angle_deg=angle_deg,
            lie=work.lie or None,
            hazard_texts=catalog.hazard_texts,
        )
        if isinstance(answer, CannotCut):
            misfits += [misfit for _, found in answer.misfits for misfit in found]
        else:
            settings.append(with_factors(answer, grade, work.section, rules.factors))
    mass_per_m = kg_per_m(work, grade)
    within = [shortened(bar, saw, mass_per_m) for bar in bars]
    loadable = tuple(bar for bar in within if not bar_misfits(bar, saw, mass_per_m))
    if bars and not loadable:
        misfits += bar_misfits(bars[0], saw, mass_per_m)
    misfits += _short_pieces(work, saw)
    if misfits:
        return Trial(saw, (), (), tuple(dict.fromkeys(misfits)), 0.0, 0.0, mass_per_m)
    used = factors_used(settings, grade, work.section, rules.factors)
    alone = Trial(saw, tuple(settings), loadable, (), 0.0, 0.0, mass_per_m, used)
    alone = _weighed(alone, fsum(_line_seconds(line, saw, settings, used) for line in work.lines))
    return alone if rules.most_at_once == 1 else _at_once(alone, work, grade, catalog, rules)


def _weighed(trial: Trial, seconds: float) -> Trial:
    hours = seconds / 3600
    return replace(trial, hours=hours, cost=hours * trial.saw.rate_per_hour)


def _at_once(alone: Trial, work: Work, grade: Grade, catalog: Catalog, rules: ShopRules) -> Trial:
    """The saw with the loads that can be foreseen, with the band that suits them where most bars go into
    loads and it takes less time so."""
    saw, square = alone.saw, alone.settings[0]
    alike = alike_bars(work, saw, square.kerf_um, alone.bars, rules)
    usual = _in_loads(alone, alike, work, grade, catalog, rules)
    if not alike.are_most:
        return usual
    suited = square_for_bundles(alike, work, grade, saw, square, alone.bars, catalog, rules)
    if suited is None:
        return usual
    suited = with_factors(suited, grade, work.section, rules.factors)
    used = factors_used([suited], grade, work.section, rules.factors)
    seconds = fsum(_line_seconds(line, saw, [suited], used) for line in work.lines)
    other = _weighed(replace(alone, settings=(suited,), factors=used), seconds)
    other = _in_loads(other, alike, work, grade, catalog, rules)
    return replace(other, usual=usual) if other.hours < usual.hours else usual


def _in_loads(
    alone: Trial, alike: Alike, work: Work, grade: Grade, catalog: Catalog, rules: ShopRules
) -> Trial:
    saw, square = alone.saw, alone.settings[0]
    bundles = bundles_for(work, grade, saw, square, alone.bars, catalog, rules, alone.factors)
    if not bundles.settings:
        return replace(alone, bundles=bundles)
    saved = saved_seconds(alike, work, saw, square, bundles.settings, alone.factors)
    return _weighed(replace(alone, bundles=bundles), 3600 * alone.hours - saved)


def kg_per_m(work: Work, grade: Grade) -> float:
    """Mass of the group's bar, kg/m."""
    return mass_kg_per_m(work.section.shape.outline().area_mm2, grade.density_kg_per_m3.value)


def longest_bar_um(saw: SawSheet, mass_per_m: float) -> int:
    """The longest bar of ``mass_per_m`` kg/m that ``saw`` can be loaded with, whole millimetres in um."""
    by_mass_mm = 1000 * saw.load_limit_kg / mass_per_m
    return int(min(saw.max_bar_length_mm, by_mass_mm)) * UM_PER_MM


def shortened(bar: Bar, saw: SawSheet, mass_per_m: float) -> Bar:
    """A bar still to be bought, ordered no longer than ``saw`` can be loaded with; any other as it is.

    A priced bar is offered as it is and not shorter.
    """
    most_um = longest_bar_um(saw, mass_per_m)
    if bar.kind is not BarKind.TO_BUY or bar.price is not None or not 0 < most_um < bar.length_um:
        return bar
    return replace(bar, length_um=most_um)


def bar_misfits(bar: Bar, saw: SawSheet, mass_per_m: float) -> list[Misfit]:
    """Why ``saw`` can't be loaded with ``bar``: too long for its feed, or heavier than its load limit."""
    found = []
    length_mm = um_to_mm(bar.length_um)
    if length_mm > saw.max_bar_length_mm:
        found.append(
            Misfit(
                "bar length",
                length_mm,
                saw.max_bar_length_mm,
                "mm",
                sentence(
                    "{saw} takes bars up to {max_bar_length}; this one is {length}",
                    saw=saw.name,
                    max_bar_length=quantity(saw.max_bar_length_mm, "mm"),
                    length=quantity(length_mm, "mm"),
                ),
                Told("halve the bar first, or use a saw with a longer feed table"),
            )
        )
    mass_kg = mass_per_m * length_mm / 1000
    if mass_kg > saw.load_limit_kg:
        found.append(
            Misfit(
                "bar mass",
                mass_kg,
                saw.load_limit_kg,
                "kg",
                sentence(
                    "the bar weighs {mass} and {saw} carries {load_limit}",
                    mass=quantity(mass_kg, "kg"),
                    saw=saw.name,
                    load_limit=quantity(saw.load_limit_kg, "kg"),
                ),
                sentence(
                    "cut the bar to {length} or less before loading it",
                    length=quantity(1000 * saw.load_limit_kg / mass_per_m, "mm"),
                ),
            )
        )
    return found


def _short_pieces(work: Work, saw: SawSheet) -> list[Misfit]:
    """A misfit where every piece is too short; a single short line falls out by itself when bars are laid."""
    longest_mm = um_to_mm(max(line.length_um for line in work.lines))
    if longest_mm >= saw.min_work_mm:
        return []
    text = sentence(
        "the longest piece is {longest} and {saw} indexes no less than {min_work}",
        longest=quantity(longest_mm, "mm"),
        saw=saw.name,
        min_work=quantity(saw.min_work_mm, "mm"),
    )
    remedy = Told("saw it over-long and part it by hand-fed cuts, or use a saw that indexes less")
    return [Misfit("piece length", longest_mm, saw.min_work_mm, "mm", text, remedy)]


def _line_seconds(
    line: OrderLine, saw: SawSheet, settings: Sequence[CutSetting], factors: Sequence[Factor]
) -> float:
    by_angle = {setting.angle_deg: setting for setting in settings}
    ends = [line.angle_a_deg, line.angle_b_deg] if line.is_mitred else [0.0]
    sawing = sum(by_angle[abs(end)].cut_seconds for end in ends)
    feeding = len(ends) * idle_seconds_per_cut(saw) + index_seconds(saw, um_to_mm(line.length_um))
    return line.quantity * (sawing + index_factor(factors) * feeding + saw.cycle.unload_piece_s)
