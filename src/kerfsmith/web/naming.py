"""Names of things of the trade as pages show them: bands and their teeth."""

from kerfsmith.catalog.band import Band
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say


def band_words(band: Band, reading: Reading) -> str:
    """``27 × 0.9 mm, bimetal``."""
    return say(
        "{size}, {edge}", size=reading.band_size(band.width_mm, band.thickness_mm), edge=edge_words(band)
    )


def edge_words(band: Band) -> str:
    """What the teeth are made of."""
    return say(str(band.edge))


def teeth_words(band: Band) -> str:
    """``hook, variable raker``: the form of the teeth and how they are set."""
    return say("{form}, {set}", form=say(band.tooth_form), set=say(band.tooth_set))


def pitch_words(band: Band) -> str:
    """``3/4 TPI``; a grit edge has no teeth to count."""
    return f"{band.pitch} TPI" if band.pitch else say("grit")
