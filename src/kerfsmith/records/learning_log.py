"""The cut log as there is to learn from it: each cut joined with its run, bar, band, line and measures."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Select, and_, func, select

from kerfsmith.learning.log import BandStay, BarUse, Log, SawnCut, StopSpan
from kerfsmith.records import floor_tables as t
from kerfsmith.records import tables
from kerfsmith.records.codec import read_section_document
from kerfsmith.records.holds import is_no_undo
from kerfsmith.records.stop_tables import stops
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.units.told import quantity

ALIKE = 0.01
"""A cut is of a setting when their areas agree to this share."""


@dataclass(frozen=True, slots=True)
class _Setting:
    """What a plan said of one cut through so many bars: area, seconds by the published figures, what was
    dialled, life of the band.
    """

    bars: int
    area_cm2: float
    seconds: float
    height_mm: float
    dialled: str
    life_cm2: float | None


@dataclass(frozen=True, slots=True)
class _Group:
    settings: tuple[_Setting, ...]
    idle_s: float | None

    def through(self, bars: int) -> _Setting | None:
        """The setting of the square cut through so many bars; without one, of the first that there is."""
        own = (one for one in self.settings if one.bars == bars)
        return next(own, next(iter(self.settings), None))

    def seconds_for(self, area_cm2: float, bars: int) -> float | None:
        """Sawing time of a cut by its area: of one cut, or of two where a piece has two of its own."""
        among = [one for one in self.settings if one.bars == bars]
        for one in among:
            if abs(one.area_cm2 - area_cm2) <= ALIKE * area_cm2:
                return one.seconds
        for first in among:
            for second in among:
                if abs(first.area_cm2 + second.area_cm2 - area_cm2) <= ALIKE * area_cm2:
                    return first.seconds + second.seconds
        return None


def read_log(run: Connection) -> Log:
    """Everything in the tables of the saws."""
    groups = _groups(run)
    ages: dict[str, float] = {}
    cuts = tuple(_read_cut(row, groups, ages) for row in run.execute(_cut_rows()))
    return Log(cuts, tuple(_stays(run, cuts, groups)), tuple(_stops(run)), tuple(_bars(run)))


def _cut_rows() -> Select[Any]:
    cut, bar, made, line, mounting, band = t.cuts, t.loaded_bars, t.runs, t.run_lines, t.mountings, t.bands
    together = _passes().subquery()
    undo, measure = t.cuts.alias("undo"), t.inspections
    newest = select(func.max(measure.c.number).label("number")).group_by(measure.c.cut_id).subquery()
    measured = select(measure).join(newest, newest.c.number == measure.c.number).subquery()
    joined = (
        cut.join(bar, bar.c.id == cut.c.bar_id)
        .join(made, made.c.id == cut.c.run_id)
        .outerjoin(line, and_(line.c.run_id == cut.c.run_id, line.c.line_id == cut.c.line_id))
        .outerjoin(mounting, mounting.c.id == cut.c.mounting_id)
        .outerjoin(band, band.c.id == mounting.c.band_id)
        .outerjoin(undo, and_(undo.c.corrects == cut.c.id, undo.c.kind == "undo"))
        .outerjoin(measured, measured.c.cut_id == cut.c.id)
        .outerjoin(together, together.c.pass_id == cut.c.pass_id)
    )
    return (
        select(
            cut,
            bar.c.heat,
            bar.c.label,
            made.c.saw_name,
            made.c.grade,
            made.c.section,
            made.c.plan_id,
            made.c.group_id,
            band.c.id.label("band"),
            band.c.kind.label("band_kind"),
            band.c.cut_before_cm2,
            line.c.plus_um,
            line.c.minus_um,
            measured.c.nominal_um,
            measured.c.measured_um,
            measured.c.out_of_square_um,
            undo.c.id.label("undone"),
            together.c.bars,
            together.c.area_cm2.label("pass_area_cm2"),
            together.c.first.label("pass_first"),
        )
        .select_from(joined)
        .where(cut.c.kind.in_(("facing", "piece", "trim")))
        .order_by(cut.c.number)
    )


def _passes() -> Select[Any]:
    """Passes through loads: through how many bars, their area in all, and which entry is told first."""
    cut = t.cuts.alias()
    return (
        select(
            cut.c.pass_id,
            func.count().label("bars"),
            func.sum(cut.c.area_cm2).label("area_cm2"),
            func.min(cut.c.number).label("first"),
        )
        .where(cut.c.pass_id.is_not(None), is_no_undo(cut))
        .group_by(cut.c.pass_id)
    )


def _read_cut(row: Any, groups: Mapping[tuple[str, str], _Group], ages: dict[str, float]) -> SawnCut:
    group = groups.get((row.plan_id, row.group_id), _Group((), None))
    section = read_section_document(row.section)
    follows = row.pass_first is not None and row.pass_first != row.number
    bars = row.bars or 1
    area_cm2 = 0.0 if follows else row.pass_area_cm2 or row.area_cm2
    before = 0.0
    if row.band is not None:
        before = ages.setdefault(row.band, row.cut_before_cm2)
        if row.undone is None and not follows:
            ages[row.band] = before + area_cm2
        elif row.undone is None:
            before -= row.pass_area_cm2
    first = group.through(bars)
    return SawnCut(
        id=row.id,
        at=row.at,
        by=row.by,
        saw=row.saw_id,
        saw_name=row.saw_name,
        grade=row.grade,
        section_kind=section.shape.kind,
        section_name=section.name,
        height_mm=first.height_mm if first else section.shape.outline().height_mm,
        area_cm2=area_cm2,
        bar=row.label,
        bar_id=row.bar_id,
        heat=row.heat or "",
        mounting=row.mounting_id or "",
        band=row.band or "",
        band_kind=row.band_kind or "",
        band_age_cm2=before,
        setting=first.dialled if first else "",
        predicted_s=None if follows else group.seconds_for(area_cm2, bars),
        predicted_idle_s=group.idle_s,
        began_at=None if follows else row.began_at,
        ended_at=None if follows else row.ended_at,
        length_mm=row.length_um / 1000 or None,
        over_mm=None if row.measured_um is None else (row.measured_um - row.nominal_um) / 1000,
        plus_mm=None if row.plus_um is None else row.plus_um / 1000,
        minus_mm=None if row.minus_um is None else row.minus_um / 1000,
        off_square_mm=None if row.out_of_square_um is None else row.out_of_square_um / 1000,
        motor_load=None if follows or row.motor_load_percent is None else row.motor_load_percent / 100,
        is_piece=row.kind == "piece",
        undone=row.undone is not None,
        scrapped=row.outcome == "scrapped",
        bars=bars,
        follows=follows,
    )


def _groups(run: Connection) -> Mapping[tuple[str, str], _Group]:
    """What the plans said of the groups that were released."""
    kept, bars = tables.plan_groups, tables.plan_bars
    released = run.execute(
        select(kept.c.plan_id, kept.c.id, kept.c.document).join(
            t.runs, and_(t.runs.c.plan_id == kept.c.plan_id, t.runs.c.group_id == kept.c.id)
        )
    )
    cuts: dict[tuple[str, str], int] = {}
    columns = bars.c.plan_id, bars.c.group_id, bars.c.times, bars.c.at_once, bars.c.pieces
    for row in run.execute(select(*columns)):
        key = (row.plan_id, row.group_id)
        cuts[key] = cuts.get(key, 0) + row.times // row.at_once * len(row.pieces)
    return {
        (row.plan_id, row.id): _read_group(row.document, cuts.get((row.plan_id, row.id), 0))
        for row in released
    }


def _read_group(document: Mapping[str, Any], passes: int) -> _Group:
    told = (*document["settings"], *document.get("bundle_settings", ()))
    settings = tuple(_read_setting(one) for one in told)
    idle_s = document["times"]["indexing_s"] / _factor(document, "index time")
    return _Group(settings, idle_s / passes if passes else None)


def _read_setting(document: Mapping[str, Any]) -> _Setting:
    life = document.get("life_area_cm2")
    speed = quantity(document["band_speed_m_per_min"], "m/min")
    feed = quantity(document["mean_feed_mm_per_min"], "mm/min")
    slices = document.get("slices") or [{"depth_mm": 0.0}]
    return _Setting(
        document.get("bundle", 1),
        document["area_cm2"],
        document["cut_seconds"] / _factor(document, "cut time"),
        slices[-1]["depth_mm"],
        f"{speed}, {feed}",
        life[1] / _factor(document, "band life") if life else None,
    )


def _factor(document: Mapping[str, Any], measure: str) -> float:
    """The factor that was put on a planned figure: what is learned is set against the published one."""
    used = (one["value"] for one in document.get("factors") or () if one["measure"] == measure)
    return float(next(used, 1.0))


def _stays(
    run: Connection, cuts: Iterable[SawnCut], groups: Mapping[tuple[str, str], _Group]
) -> Iterable[BandStay]:
    """Every band that cut anything, with how much of its published life each cut used up."""
    lives = _lives(run, groups, {cut.id: cut.bars for cut in cuts})
    areas: dict[str, dict[str, float]] = {}
    used: dict[str, float] = {}
    for cut in cuts:
        if cut.undone or not cut.band:
            continue
        by_grade = areas.setdefault(cut.band, {})
        by_grade[cut.grade] = by_grade.get(cut.grade, 0.0) + cut.area_cm2
        life = lives.get(cut.id)
        if life:
            used[cut.band] = used.get(cut.band, 0.0) + cut.area_cm2 / life
    for row in run.execute(select(t.bands)):
        by_grade = areas.get(row.id, {})
        here = sum(by_grade.values())
        yield BandStay(
            band=row.id,
            band_kind=row.kind,
            by_grade_cm2=tuple(sorted(by_grade.items())),
            cut_cm2=row.cut_before_cm2 + here,
            published_cm2=here / used[row.id] if used.get(row.id) else None,
            ended=RemovalReason(row.retired) if row.retired else None,
        )


def _lives(
    run: Connection, groups: Mapping[tuple[str, str], _Group], bars: Mapping[str, int]
) -> Mapping[str, float]:
    """The published life of the band in each cut's setting, by the cut's id."""
    wanted = select(t.cuts.c.id, t.runs.c.plan_id, t.runs.c.group_id).join(
        t.runs, t.runs.c.id == t.cuts.c.run_id
    )
    found = {}
    for row in run.execute(wanted):
        group = groups.get((row.plan_id, row.group_id))
        setting = group.through(bars.get(row.id, 1)) if group else None
        if setting and setting.life_cm2:
            found[row.id] = setting.life_cm2
    return found


def _stops(run: Connection) -> Iterable[StopSpan]:
    for row in run.execute(select(stops).order_by(stops.c.number)):
        yield StopSpan(row.saw_id, row.began_at, row.ended_at, row.reason)


def _bars(run: Connection) -> Iterable[BarUse]:
    bar = t.loaded_bars
    wanted = (
        select(bar, t.runs.c.section, t.remnants.c.label.label("parent"))
        .join(t.runs, t.runs.c.id == bar.c.run_id)
        .outerjoin(t.remnants, t.remnants.c.label == bar.c.label)
        .where(bar.c.state.in_(("put away", "remnant scrapped")))
    )
    for row in run.execute(wanted):
        whole = row.length_um
        kept = row.left_um if row.state == "put away" else 0
        yield BarUse(
            grade=row.grade,
            section_kind=read_section_document(row.section).shape.kind,
            length_mm=whole / 1000,
            pieces=row.pieces_um / whole,
            kerfs=row.kerfs_um / whole,
            trims=row.trims_um / whole,
            scrap=(row.scrap_um + row.left_um - kept) / whole,
            kept=kept / whole,
            from_remnant=row.parent is not None,
        )
