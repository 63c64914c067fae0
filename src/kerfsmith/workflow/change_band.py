"""Bands: taken into the crib, changed on a saw, retired."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.band_in_use import Mounting, RemovalReason, ThisBand
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Crib
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class ChangeBand:
    """What is on the saw comes off because of ``why``; the band ``on`` (None: none yet) goes on.

    ``mounting_id`` is what the new stay is known as.
    """

    saw: str
    mounting_id: str
    on: str | None
    why: RemovalReason | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class BandChanged:
    """The band that came off and the one that is on now, None for none."""

    off: ThisBand | None
    on: ThisBand | None


def change_band(
    records: Records, told: ChangeBand, *, by: Person, at: datetime, event: EventMark | None = None
) -> BandChanged | Refusal:
    """Change the band of a saw. A band that came off worn, stripped or broken is retired.

    Refused: no reason for what comes off; a band that is unknown, retired or on a saw.
    """

    def body(change: Change) -> BandChanged:
        crib = change.crib
        change.floor.hold_saw(told.saw)
        change.floor.enter_saw(told.saw, told.saw)
        on = _ready(crib, told.on) if told.on is not None else None
        former = crib.mounted(told.saw)
        if former is not None:
            _take_off(crib, former, told, by=by, at=at)
        elif on is None:
            raise Refused("no-band", "no band is recorded on this saw", "Choose the band that goes on")
        if on is not None:
            crib.mount(Mounting(told.mounting_id, on.id, told.saw, at, by.name))
        return BandChanged(
            crib.band(former.band_id) if former is not None else None,
            crib.band(on.id) if on is not None else None,
        )

    return act(
        records,
        Verb.CHANGE_BAND,
        body,
        answer_as=BandChanged,
        told=told,
        subject=told.saw,
        by=by,
        at=at,
        event=event,
    )


def _ready(crib: Crib, band_id: str) -> ThisBand:
    band = crib.band(band_id.strip())
    if band is None:
        raise Refused(
            "unknown-band",
            sentence("no band is labelled {band_id}", band_id=f"{band_id!r}"),
            "Take it into the crib first",
        )
    if band.retired is not None:
        raise Refused(
            "band-retired",
            sentence("band {band} is retired: {retired}", band=band.id, retired=band.retired),
            "Take another",
        )
    if band.saw is not None:
        raise Refused(
            "band-mounted",
            sentence("band {band} is recorded on saw {saw}", band=band.id, saw=band.saw),
            "Take it off there first",
        )
    return band


def _take_off(crib: Crib, former: Mounting, told: ChangeBand, *, by: Person, at: datetime) -> None:
    if told.why is None:
        raise Refused(
            "why-missing",
            sentence("why does band {band_id} come off?", band_id=former.band_id),
            "Choose a reason",
        )
    off_at = max(at, former.mounted_at)
    crib.remove(former.id, by=by.name, at=off_at, why=told.why, note=told.note)
    if told.why.ends_band:
        crib.retire(former.band_id, told.why, at=off_at)


def add_band(
    records: Records, band: ThisBand, *, by: Person, at: datetime, event: EventMark | None = None
) -> ThisBand | Refusal:
    """Take a new band into the crib. Refused when its label is on record already."""

    def body(change: Change) -> ThisBand:
        if change.crib.band(band.id) is not None:
            raise Refused(
                "label-taken",
                sentence("another band is labelled {band}", band=band.id),
                "Give it a new label",
            )
        change.crib.add_band(band, by=by.name, at=at)
        added = change.crib.band(band.id)
        assert added is not None, "added just now"
        return added

    return act(
        records,
        Verb.ADD_BAND,
        body,
        answer_as=ThisBand,
        told=band,
        subject=band.id,
        by=by,
        at=at,
        event=event,
    )


@dataclass(frozen=True, slots=True)
class RetireBand:
    """The band in the crib will not be used again."""

    band_id: str
    why: RemovalReason


def retire_band(
    records: Records, told: RetireBand, *, by: Person, at: datetime, event: EventMark | None = None
) -> ThisBand | Refusal:
    """Retire a band that lies in the crib. Refused: one that is unknown, retired or on a saw."""

    def body(change: Change) -> ThisBand:
        band = _ready(change.crib, told.band_id)
        change.crib.retire(band.id, told.why, at=at)
        retired = change.crib.band(band.id)
        assert retired is not None, "retired just now"
        return retired

    return act(
        records,
        Verb.RETIRE_BAND,
        body,
        answer_as=ThisBand,
        told=told,
        subject=told.band_id,
        by=by,
        at=at,
        event=event,
    )
