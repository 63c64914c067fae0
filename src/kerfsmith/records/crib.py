"""Bands in the tables: what lies in the crib, what is on a saw, and what each has cut."""

from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Select, and_, func, insert, or_, select, update

from kerfsmith.records import floor_tables as t
from kerfsmith.shop.band_in_use import Mounting, RemovalReason, ThisBand


class CribRead:
    """`workflow.floor_ports.CribReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def bands(self) -> tuple[ThisBand, ...]:
        """All bands, those in use first."""
        order = t.bands.c.retired.is_not(None), t.bands.c.id
        return tuple(_read_band(row) for row in self._run.execute(_bands().order_by(*order)))

    def band(self, band_id: str) -> ThisBand | None:
        """One band."""
        row = self._run.execute(_bands().where(t.bands.c.id == band_id)).first()
        return _read_band(row) if row is not None else None

    def mounted(self, saw: str) -> Mounting | None:
        """What is on a saw now."""
        now = select(t.mountings).where(t.mountings.c.saw_id == saw, t.mountings.c.removed_at.is_(None))
        row = self._run.execute(now).first()
        return _read_mounting(row) if row is not None else None

    def mounted_at(self, saw: str, at: datetime) -> Mounting | None:
        """What was on a saw at that moment; what is on it now when nothing is known of then."""
        there = t.mountings.c
        was_on = and_(there.mounted_at <= at, there.removed_at > at)
        either = select(t.mountings).where(there.saw_id == saw, or_(there.removed_at.is_(None), was_on))
        # What was on then comes before what came on later and is on now.
        row = self._run.execute(either.order_by((there.mounted_at <= at).desc()).limit(1)).first()
        return _read_mounting(row) if row is not None else None

    def mountings(self, band_id: str) -> tuple[Mounting, ...]:
        """A band's history, oldest first."""
        wanted = select(t.mountings).where(t.mountings.c.band_id == band_id).order_by(t.mountings.c.number)
        return tuple(_read_mounting(row) for row in self._run.execute(wanted))


class CribWrite(CribRead):
    """`workflow.floor_ports.Crib` over the connection of one open change."""

    def add_band(self, band: ThisBand, *, by: str, at: datetime) -> None:
        """Keep a band that has arrived."""
        self._run.execute(
            insert(t.bands).values(
                id=band.id,
                kind=band.kind,
                break_in_cm2=band.break_in_cm2,
                cut_before_cm2=band.cut_before_cm2,
                note=band.note,
                added_at=at,
                added_by=by,
            )
        )

    def mount(self, mounting: Mounting) -> None:
        """Keep that a band is on a saw."""
        self._run.execute(
            insert(t.mountings).values(
                id=mounting.id,
                band_id=mounting.band_id,
                saw_id=mounting.saw,
                mounted_at=mounting.mounted_at,
                mounted_by=mounting.mounted_by,
                removed_by="",
                note="",
            )
        )

    def remove(self, mounting_id: str, *, by: str, at: datetime, why: RemovalReason, note: str) -> None:
        """Keep that it came off."""
        off = {"removed_at": at, "removed_by": by, "why": why.value, "note": note}
        self._run.execute(update(t.mountings).where(t.mountings.c.id == mounting_id).values(**off))

    def retire(self, band_id: str, why: RemovalReason, *, at: datetime) -> None:
        """Keep that a band will not be used again."""
        retired = {"retired": why.value, "retired_at": at}
        self._run.execute(update(t.bands).where(t.bands.c.id == band_id).values(**retired))


def _bands() -> Select[Any]:
    """Bands with what each has cut by the log, and the saw each is on."""
    cut = (
        select(func.coalesce(func.sum(t.cuts.c.area_cm2), 0.0))
        .select_from(t.cuts.join(t.mountings, t.mountings.c.id == t.cuts.c.mounting_id))
        .where(t.mountings.c.band_id == t.bands.c.id)
        .correlate(t.bands)
        .scalar_subquery()
    )
    saw = (
        select(t.mountings.c.saw_id)
        .where(t.mountings.c.band_id == t.bands.c.id, t.mountings.c.removed_at.is_(None))
        .correlate(t.bands)
        .scalar_subquery()
    )
    return select(t.bands, cut.label("cut_cm2"), saw.label("saw"))


def _read_band(row: Any) -> ThisBand:
    return ThisBand(
        id=row.id,
        kind=row.kind,
        break_in_cm2=row.break_in_cm2,
        cut_before_cm2=row.cut_before_cm2,
        cut_cm2=row.cut_before_cm2 + row.cut_cm2,
        saw=row.saw,
        retired=RemovalReason(row.retired) if row.retired else None,
        note=row.note,
    )


def _read_mounting(row: Any) -> Mounting:
    return Mounting(
        id=row.id,
        band_id=row.band_id,
        saw=row.saw_id,
        mounted_at=row.mounted_at,
        mounted_by=row.mounted_by,
        removed_at=row.removed_at,
        removed_by=row.removed_by,
        why=RemovalReason(row.why) if row.why else None,
        note=row.note,
    )
