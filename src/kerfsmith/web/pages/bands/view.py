"""What the bands' page shows."""

from dataclasses import dataclass

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.web.naming import edge_words, pitch_words, teeth_words
from kerfsmith.web.reading import Reading
from kerfsmith.web.reasons import FigureCell, shown_figure
from kerfsmith.web.search import Found, search
from kerfsmith.web.words import say, say_many


@dataclass(frozen=True, slots=True)
class BandRow:
    """One band."""

    id: str
    size: str
    pitch: str
    edge: str
    teeth: str
    kerf: FigureCell
    life: FigureCell | None
    saws: str


def bands_page(catalog: Catalog, wanted: str, reading: Reading) -> Found[BandRow]:
    """The bands that answer to the words wanted, those that a saw of the shop runs before all others."""
    bands = sorted(catalog.bands, key=lambda band: not _runs_on(band, catalog))
    found = search(bands, wanted, _all_names, _counted, most=200)
    return Found(found.wanted, tuple(_row(band, catalog, reading) for band in found.entries), found.words)


def _row(band: Band, catalog: Catalog, reading: Reading) -> BandRow:
    return BandRow(
        id=band.id,
        size=reading.band_size(band.width_mm, band.thickness_mm),
        pitch=pitch_words(band),
        edge=edge_words(band),
        teeth=teeth_words(band),
        kerf=shown_figure(band.kerf, reading),
        life=shown_figure(band.life_area_cm2, reading) if band.life_area_cm2 else None,
        saws=", ".join(_runs_on(band, catalog)) or say("none here"),
    )


def _runs_on(band: Band, catalog: Catalog) -> list[str]:
    return [saw.name for saw in catalog.saws if abs(saw.band_width_mm - band.width_mm) < 1]


def _all_names(band: Band) -> str:
    return f"{band.id} {band.name} {band.tooth_form} {band.tooth_set}"


def _counted(bands: int) -> str:
    return say_many("{count} band", "{count} bands", bands)
