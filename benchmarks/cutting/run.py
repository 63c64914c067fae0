"""One run: the engine against its plain peer, a full choice, and many cuts of mixed sections.

    python -m benchmarks.cutting.run [--quick] [--throughput]

Times of single cuts are processor time; only ratios from the same run mean anything.
"""

import sys
import time
import warnings
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from multiprocessing import get_context

import numpy as np
from benchmarks.cutting.peer import Numbers, PlainCut
from scipy.integrate import IntegrationWarning

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import FeedControl
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.candidates import least_teeth
from kerfsmith.cutting.condition import AS_USUAL
from kerfsmith.cutting.figures import Figures
from kerfsmith.cutting.present import present, ways_to_lie
from kerfsmith.cutting.set_up import Try, at_speeds, figures_for
from kerfsmith.cutting.speed import band_speed
from kerfsmith.cutting.survey import SPEED_SHARES, survey
from kerfsmith.cutting.through_cut import passage
from kerfsmith.cutting.trade_off import alternatives
from kerfsmith.cutting.work import Work
from kerfsmith.geometry.shapes import Beam, Flat, Hexagon, RectTube, Round, RoundTube, Shape, Square
from kerfsmith.library.load import load_catalog

SECTIONS: tuple[Shape, ...] = (
    Round(101.6),
    Square(80),
    Flat(150, 40),
    Hexagon(60),
    RoundTube(114.3, 8.56),
    RectTube(150, 100, 8, 16, 8),
    Beam(310, 165, 9.7, 15.4, 16),
)
CASES = (("4140", 7.5), ("Ti-6Al-4V", 0.25), ("6061", 1.2))
"""Grade, and a motor (kW) strong enough to stay out of it or weak enough to rule."""
PER_ARC = 3000
"""Chords of the peer for each arc where results are compared."""

PER_ARC_QUICK = 60
"""Chords of the peer for each arc where speed is compared: it then errs by some 1e-4, and asks quad for 1e-6.
"""


def timed(act: Callable[[], object], at_least_s: float = 0.2) -> tuple[float, float]:
    """Seconds of one call by the clock and of the processor, by as many calls as fill ``at_least_s``."""
    act()
    count, begin, used = 0, time.perf_counter(), time.process_time()
    while (spent := time.perf_counter() - begin) < at_least_s or count == 0:
        act()
        count += 1
    return spent / count, (time.process_time() - used) / count


def _case(catalog: Catalog, grade: str, shape: Shape, motor_kw: float) -> tuple[Figures, Work, Band]:
    metal, saw = catalog.find_grade(grade), replace(catalog.find_saw("yard"), motor_kw=motor_kw)
    section = Section(str(shape), shape)
    work = present(section, ways_to_lie(section)[0])
    band = catalog.find_band("B54-3/4")
    speed = band_speed(metal, work, band, saw, catalog.corrections, AS_USUAL)
    one = Try(band, speed, speed.used)
    return figures_for(metal, work, saw, (one,), catalog.corrections, AS_USUAL), work, band


def numbers_of(figures: Figures) -> Numbers:
    """The peer's plain floats from one setting's figures."""

    def of(name: str) -> float:
        return float(getattr(figures, name)[0, 0])

    assert figures.power.unit_power is not None
    kienzle = tuple((float(kc11), float(mc)) for kc11, mc in figures.power.kienzle)
    return Numbers(
        speed_m_per_min=of("speed"),
        mean_mm=of("pitch"),
        fine_mm=of("fine"),
        coarse_mm=of("coarse"),
        kerf_mm=of("kerf"),
        rate_cm2_per_min=of("rate"),
        rate_most_cm2_per_min=of("rate_most"),
        chip_least_um=of("chip_least"),
        chip_most_um=of("chip_most"),
        fill_most=of("fill_most"),
        bulking=of("bulking"),
        motor_kw=of("motor_kw"),
        push_n=min(of("band_n"), of("saw_n")),
        force_ratio=figures.force_ratio,
        feed_most_mm_per_min=of("feed_most"),
        kienzle=kienzle,
        unit_kw_per_cm3_per_s=float(figures.power.unit_power),
    )


def against_peer(catalog: Catalog, quick: bool) -> float:
    """Each section in each grade, on a strong and a weak motor: agreement, and how much quicker. The worst
    gap.
    """
    print(
        f"{'section':<12} {'grade':<10} {'motor kW':>8} {'peer ms':>9} {'engine ms':>9} {'ratio':>7} "
        f"{'differs by':>10}"
    )
    worst = 0.0
    for shape in SECTIONS[:: 3 if quick else 1]:
        for grade, motor_kw in CASES[: 2 if quick else 3]:
            figures, work, band = _case(catalog, grade, shape, motor_kw)
            assert band.pitch is not None
            coarse = band.pitch.coarse_mm
            numbers = numbers_of(figures)
            expected = PlainCut(work.scan.outline, numbers, PER_ARC).minutes(1e-7)
            plain = PlainCut(work.scan.outline, numbers, PER_ARC_QUICK)
            _, peer_s = timed(partial(plain.minutes, 1e-6), 0.0)
            found = float(passage(figures, work, coarse, energy=False).minutes[0])
            _, engine_s = timed(partial(passage, figures, work, coarse, energy=False), 0.05)
            gap = abs(found / expected - 1)
            worst = max(worst, gap)
            print(
                f"{shape.kind:<12} {grade:<10} {motor_kw:>8g} {peer_s * 1e3:>9.0f} "
                f"{engine_s * 1e3:>9.2f} "
                f"{peer_s / engine_s:>7.0f} {gap:>10.1e}"
            )
    print(
        f"largest difference {worst:.1e} (asked: 1e-6; arcs of the peer in {PER_ARC} chords there, "
        f"in {PER_ARC_QUICK} where it is timed)"
    )
    return worst


def many_bands(catalog: Catalog, work: Work, count: int) -> list[Band]:
    """Bands of the yard saw's width in as many make-ups as asked, all fit for the work, a little different in
    kerf.
    """
    base = [b for b in catalog.bands if b.width_mm == 54 and not b.edge.is_grit and least_teeth(work, b) >= 2]
    copies = [(band, k) for k in range(count // len(base) + 1) for band in base][:count]
    return [
        replace(band, id=f"{band.id} #{k}", kerf=replace(band.kerf, value=band.kerf.value * (1 + k / 1000)))
        for band, k in copies
    ]


def full_choice(catalog: Catalog) -> None:
    """200 bands at 50 speeds for a heavy beam on each kind of feed control, the whole trade-off with it."""
    grade = catalog.find_grade("A36")
    section = Section("beam", Beam(427, 340, 45.1, 75.1, 15))
    for control in FeedControl:
        saw = replace(catalog.find_saw("yard"), feed_control=control)
        work = present(section, ways_to_lie(section)[0], cant_deg=saw.cant_deg)
        bands = many_bands(catalog, work, 200)
        settings = survey(grade, work, saw, bands, catalog.corrections, AS_USUAL).place.size
        choose = partial(alternatives, grade, section, saw, bands, catalog.corrections)
        spent, used = timed(choose, 1.0)
        print(
            f"full choice, {len(bands)} bands, {settings} settings, {control}: {used:.3f} s of processor, "
            f"{spent:.3f} s by the clock"
        )


def cut_many(names: Sequence[str], settings: int) -> tuple[int, float, float]:
    """Lay and scan each section and cut it exactly at some band speeds, then cut all once more.

    How many cuts in each round, the processor's seconds of the first, with every section new, and of the
    second, with every section met before.
    """
    catalog = load_catalog()
    grade, saw, band = catalog.find_grade("S355J2"), catalog.find_saw("yard"), catalog.find_band("B54-3/4")
    assert band.pitch is not None
    sections = [catalog.find_section(name) for name in names]
    spent = []
    for _ in range(2):
        begin = time.process_time()
        for section in sections:
            work = present(section, ways_to_lie(section)[0])
            speed = band_speed(grade, work, band, saw, catalog.corrections, AS_USUAL)
            one = figures_for(
                grade, work, saw, (Try(band, speed, speed.used),), catalog.corrections, AS_USUAL
            )
            table = speed.used * np.linspace(*SPEED_SHARES, settings)[None, :] if settings > 1 else speed.used
            passage(at_speeds(one, np.reshape(table, (1, -1))), work, band.pitch.coarse_mm)
        spent.append(time.process_time() - begin)
    return len(names) * settings, spent[0], spent[1]


def throughput(catalog: Catalog, quick: bool) -> None:
    """Through-cuts of mixed sections in a minute of two processors: many settings each, and one setting each.

    Reckoned from processor time in two processes at once, so that other work on the machine counts little.
    """
    names = [section.name for section in catalog.sections][:: 8 if quick else 1]
    for settings in (50, 1):
        with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
            found = list(pool.map(cut_many, (names[::2], names[1::2]), (settings, settings)))
        done = sum(count for count, _, _ in found)
        new, again = max(first for _, first, _ in found), max(second for _, _, second in found)
        print(
            f"{len(names)} sections, {settings} settings each, two processes: "
            f"{done / new * 60:,.0f} cuts a minute with every section new, "
            f"{done / again * 60:,.0f} with sections met before"
        )


def main() -> int:
    """Run all; 1 when the engine and its peer disagree."""
    quick = "--quick" in sys.argv
    # The peer asks quad for more than rounding allows in a few corners; the agreement shows it got enough.
    warnings.simplefilter("ignore", IntegrationWarning)
    catalog = load_catalog()
    if "--throughput" in sys.argv:
        throughput(catalog, quick)
        return 0
    worst = against_peer(catalog, quick)
    full_choice(catalog)
    throughput(catalog, quick)
    return 0 if worst <= 1e-6 else 1


if __name__ == "__main__":
    raise SystemExit(main())
