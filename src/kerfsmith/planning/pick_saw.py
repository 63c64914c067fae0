"""Which saw takes a group: each saw is tried, and of those that fit the cheapest in saw hours is taken."""

from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CannotCut, CutSetting, Misfit
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.planning.plan import SawTried
from kerfsmith.planning.times import idle_seconds_per_cut, index_seconds
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.units.length import um_to_mm


@dataclass(frozen=True, slots=True)
class Trial:
    """One saw tried for one group: its settings by angle and the bars it can take, or its misfits."""

    saw: SawSheet
    settings: tuple[CutSetting, ...]
    bars: tuple[Bar, ...]
    misfits: tuple[Misfit, ...]
    hours: float
    cost: float

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


def try_saws(work: Work, grade: Grade, catalog: Catalog, bars: Sequence[Bar]) -> tuple[Trial, ...]:
    """Every saw of the catalog tried for ``work``: those that fit first, the cheapest hours at the top."""
    trials = [_try(work, grade, saw, catalog, bars) for saw in catalog.saws]
    return tuple(sorted(trials, key=lambda trial: (not trial.fits, trial.cost, trial.hours, trial.saw.id)))


def _try(work: Work, grade: Grade, saw: SawSheet, catalog: Catalog, bars: Sequence[Bar]) -> Trial:
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
            hazard_texts=catalog.hazard_texts,
        )
        if isinstance(answer, CannotCut):
            misfits += [misfit for _, found in answer.misfits for misfit in found]
        else:
            settings.append(answer)
    loadable = tuple(bar for bar in bars if not bar_misfits(bar, saw, kg_per_m(work, grade)))
    if bars and not loadable:
        misfits += bar_misfits(bars[0], saw, kg_per_m(work, grade))
    misfits += _short_pieces(work, saw)
    if misfits:
        return Trial(saw, (), (), tuple(dict.fromkeys(misfits)), 0.0, 0.0)
    hours = sum(_line_seconds(line, saw, settings) for line in work.lines) / 3600
    return Trial(saw, tuple(settings), loadable, (), hours, hours * saw.rate_per_hour)


def kg_per_m(work: Work, grade: Grade) -> float:
    """Mass of the group's bar, kg/m."""
    return mass_kg_per_m(work.section.shape.outline().area_mm2, grade.density_kg_per_m3.value)


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
                f"{saw.name} takes bars up to {saw.max_bar_length_mm:g} mm; this one is {length_mm:g} mm",
                "halve the bar first, or use a saw with a longer feed table",
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
                f"the bar weighs {mass_kg:.0f} kg and {saw.name} carries {saw.load_limit_kg:g} kg",
                f"cut the bar to {1000 * saw.load_limit_kg / mass_per_m:.0f} mm or less before loading it",
            )
        )
    return found


def _short_pieces(work: Work, saw: SawSheet) -> list[Misfit]:
    shortest_mm = um_to_mm(min(line.length_um for line in work.lines))
    if shortest_mm >= saw.min_work_mm:
        return []
    text = (
        f"the shortest piece is {shortest_mm:g} mm and {saw.name} indexes no less than {saw.min_work_mm:g} mm"
    )
    remedy = "saw it over-long and part it by hand-fed cuts, or use a saw that indexes less"
    return [Misfit("piece length", shortest_mm, saw.min_work_mm, "mm", text, remedy)]


def _line_seconds(line: OrderLine, saw: SawSheet, settings: Sequence[CutSetting]) -> float:
    by_angle = {setting.angle_deg: setting for setting in settings}
    ends = [line.angle_a_deg, line.angle_b_deg] if line.is_mitred else [0.0]
    sawing = sum(by_angle[abs(end)].cut_seconds + idle_seconds_per_cut(saw) for end in ends)
    return line.quantity * (sawing + index_seconds(saw, um_to_mm(line.length_um)) + saw.cycle.unload_piece_s)
