"""The words people use for sections, and what each of them says about the shape."""

from collections.abc import Mapping
from enum import StrEnum


class Word(StrEnum):
    """What one word of a section text contributes."""

    ROUND = "round"
    SQUARE = "square"
    FLAT = "flat"
    HEXAGON = "hexagon"
    TUBE = "tube"
    ANGLE = "angle"
    PIPE = "pipe"
    HSS = "HSS"
    RHS = "RHS"
    SHS = "SHS"
    CHS = "CHS"
    BOX = "box"
    OUTSIDE = "outside diameter"
    INSIDE = "inside diameter"
    WALL = "wall"
    THICK = "thickness"
    TIMES = "times"
    NOISE = "noise"


def _table(**words: str) -> dict[str, Word]:
    return {text: Word[key.upper()] for key, texts in words.items() for text in texts.split()}


WORDS: Mapping[str, Word] = _table(
    round="round rounds rd rnd rod dia diam diameter ø rund rundstahl rundstab rond redondo tondo",
    square="square sq sqr squ vierkant vierkantstahl quadrat carré carre cuadrado quadro",
    flat="flat flats fl flt flb fb flatbar strip plate pl plt rect rectangle rectangular flach flachstahl "
    "plat pletina piatto",
    hexagon="hex hexagon hexagonal hx sechskant sechskantstahl hexagone esagono",
    tube="tube tubes tubing tub ro rohr rundrohr tubo",
    angle="angle angles ang l winkel winkelstahl cornière corniere ángulo angulo angolare ea ua",
    pipe="pipe pipes",
    hss="hss ts",
    rhs="rhs rro rechteckrohr",
    shs="shs qro vierkantrohr quadratrohr",
    chs="chs",
    box="box",
    outside="od o/d outside",
    inside="id i/d inside bore",
    wall="wall wt w/t wandstärke",
    thick="thk thick thickness dick épaisseur",
    times="x × * by",
    noise="bar bars stock solid section profile seamless smls welded erw dom equal unequal af a/f across of "
    "hr cr cf cd hrs crs tgp",
)

# Words that name something hollow.
HOLLOW = frozenset({Word.TUBE, Word.HSS, Word.RHS, Word.SHS, Word.CHS, Word.BOX, Word.PIPE})

# Words in front of a standard's designation that add nothing to it.
DESIGNATION_NOISE = (
    "wide flange beam",
    "wide flange",
    "universal beam",
    "universal column",
    "h-beam",
    "i-beam",
    "h beam",
    "i beam",
    "beam",
    "column",
    "channel",
    "träger",
    "trager",
)
