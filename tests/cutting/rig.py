"""Saws, bands, works and figures made for a test: wide open unless told otherwise."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from kerfsmith.catalog.band import Band, Edge, Pitch
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.saw import FeedControl, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.figures import Figures, PowerFigures, column
from kerfsmith.cutting.limits import allowed_feed
from kerfsmith.cutting.present import present, ways_to_lie
from kerfsmith.cutting.through_cut import Law, passage
from kerfsmith.cutting.work import Work
from kerfsmith.geometry.shapes import Shape

INCH = 25.4
FOOT_PER_MIN = 0.3048
COARSE = 25.4 / 3


def figure(value: float, unit: str, low: float | None = None, high: float | None = None) -> Figure:
    """A figure for a test; one number unless given a span."""
    return Figure(value, unit, "house", "test", Confidence.MEMORY_LOW, low or value, high or value)


def band(
    coarse: float, fine: float, *, width: float = 34, thickness: float = 1.1, edge: Edge = Edge.BIMETAL
) -> Band:
    """A band of a pitch, 34 x 1.1 unless told."""
    kerf, price = figure(thickness * 1.6, "mm"), figure(10, "currency/m")
    pitch = Pitch(coarse, fine)
    return Band(f"T-{coarse:g}/{fine:g}", edge, width, thickness, pitch, "standard", "raker", kerf, price)


def open_saw(catalog: Catalog, **changes: object) -> SawSheet:
    """A saw that limits nothing but what ``changes`` say: 34 mm band, speeds and feeds without end."""
    north = catalog.find_saw("north")
    room = replace(north.capacities[0], round_mm=900, square_mm=900, rect_width_mm=900, rect_height_mm=900)
    wide = replace(
        north,
        capacities=(room,),
        band_speed_min_m_per_min=1,
        band_speed_max_m_per_min=5000,
        feed_min_mm_per_min=1e-6,
        feed_max_mm_per_min=1e6,
        feed_force_max_n=1e9,
        motor_kw=1e6,
        head_travel_mm=5000,
        guide_span_max_mm=5000,
        load_limit_kg=1e9,
        min_work_mm=0.1,
        feed_control=FeedControl.FOLLOWS_CUT,
        materials=(),
    )
    return replace(wide, **changes)  # type: ignore[arg-type]  # a test names real fields


def work(shape: Shape, lie: str | None = None, angle_deg: float = 0.0, bundle: int = 1) -> Work:
    """The work of a shape in its usual lie, or another."""
    section = Section(str(shape), shape)
    ways = ways_to_lie(section, bundle)
    chosen = ways[0] if lie is None else next(way for way in ways if way.name == lie)
    return present(section, chosen, angle_deg=angle_deg, bundle=bundle)


def figures(**changes: float | PowerFigures | bool) -> Figures:
    """Figures for one setting in which nothing limits but what is given: 80 m/min, 3 to 4 teeth an inch."""
    numbers: dict[str, float] = {
        "speed": 80.0,
        "pitch": 25.4 / 3.5,
        "fine": 25.4 / 4,
        "coarse": COARSE,
        "kerf": 1.6,
        "rate": np.inf,
        "rate_most": np.inf,
        "chip_least": 1e-9,
        "chip_most": 1e9,
        "fill_most": 1e9,
        "bulking": 5.0,
        "band_n": 1e12,
        "motor_kw": 1e9,
        "saw_n": 1e12,
        "feed_most": 1e12,
    }
    other: dict[str, object] = {"power": PowerFigures((), None), "force_ratio": 0.75, "toothed": False}
    for name, value in changes.items():
        if name in numbers:
            assert isinstance(value, float | int)
            numbers[name] = float(value)
        else:
            other[name] = value
    arrays = {name: column(value) for name, value in numbers.items()}
    return Figures(**arrays, **other)  # type: ignore[arg-type]  # names and kinds as above


def minutes(figs: Figures, of: Work, law: Law = allowed_feed) -> float:
    """Minutes of one cut."""
    return float(passage(figs, of, COARSE, law).minutes[0])


def feed_at(figs: Figures, of: Work) -> Callable[[float], float]:
    """The allowed feed at a depth, one depth at a time."""

    def at(depth: float) -> float:
        chords = of.chords_at(np.array([depth]), np.ones(1), COARSE)
        return float(allowed_feed(figs, chords)[0][0, 0])

    return at
