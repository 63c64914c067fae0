"""Every section of the catalog in every grade on every demo saw, each past the referee. No sampling.

    nice -n 10 python -m benchmarks.cutting.sweep [--state FILE] [--processes 2] [--every 1]

Each section goes through each saw in all grades at once (`cutting.many_grades`, which makes the choice that
`set_cut` makes: lie, band in order of preference, speed, feed; tests/cutting/test_many_grades.py holds the
two together). Every setting is laid before the referee of `cutting.check`; every refusal must name a
dimension that fails, in words. What is counted goes to the state file as it is done, one line for each
stretch of sections, and a walk that was stopped goes on from there.
"""

import argparse
import json
import math
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from functools import lru_cache
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.candidates import least_teeth, most_teeth, teeth_class
from kerfsmith.cutting.cautions import teeth_cautions
from kerfsmith.cutting.check import claim_breaches
from kerfsmith.cutting.claim import Claim, Columns
from kerfsmith.cutting.limits import ORDER, cutting_power, feed_force
from kerfsmith.cutting.many_grades import BandCut, set_grades
from kerfsmith.cutting.setting import Limit, Misfit
from kerfsmith.library.load import load_catalog

STRETCH = 20
"""Sections in one piece of work."""

MOST_SHOWN = 40

_LEAST_CHIP = ORDER.index(Limit.LEAST_CHIP)


@lru_cache(maxsize=1)
def _catalog() -> Catalog:
    return load_catalog()


def claims(cut: BandCut) -> Iterator[tuple[Grade, Claim]]:
    """What each row of a cut in many grades claims, as the referee reads it."""
    figures, chords, work = cut.figures, cut.chords, cut.work
    power = cutting_power(figures, chords, cut.feed)
    force = feed_force(figures, chords, cut.feed)
    chip = cut.feed * figures.pitch / figures.speed
    fewest = least_teeth(work, cut.band) if cut.band.pitch else 0.0
    most = most_teeth(work, cut.band)
    count = chords.share_mm / figures.coarse[0, 0] if figures.toothed else np.zeros_like(chords.share_mm)
    for row, (grade, one) in enumerate(cut.cases):
        told = teeth_cautions(teeth_class(grade, work, cut.band), fewest, most, work.lasting_chord_mm)
        low, usual, high = (float(each) for each in cut.seconds[:, row])
        columns = Columns(
            chords.depth_mm,
            chords.contact_mm,
            chords.longest_mm,
            count,
            cut.feed[row],
            chip[row],
            power[row],
            cut.rule[row] == _LEAST_CHIP,
        )
        yield (
            grade,
            Claim(
                cut.band,
                work.lie,
                work.angle_deg,
                work.bundle,
                one.speed_m_per_min,
                one.speed.wanted,
                (low, usual, high),
                work.area_mm2 / 100,
                fewest,
                any("teeth in the thinnest" in text for text in told),
                (("mean feed", work.travel_mm / usual), ("area", work.area_mm2)),
                (("peak power", float(power[row].max())), ("peak force", float(force[row].max()))),
                columns,
            ),
        )


def _refusal_fault(misfits: tuple[Misfit, ...]) -> str:
    """What is wrong with a refusal as an answer; empty when it is a plain reason."""
    if not misfits:
        return "refused without a reason"
    for one in misfits:
        if not (one.text and one.dimension and math.isfinite(one.wanted) and math.isfinite(one.limit)):
            return f"a reason without words or numbers: {one.dimension}"
    return ""


def walk(catalog: Catalog, section: Section, count: Counter[str], faults: list[str]) -> None:
    """One section through every saw in every grade."""
    for saw in catalog.saws:
        cuts, refused = set_grades(catalog.grades, section, saw, catalog.bands, catalog.corrections)
        answered = len(refused)
        for name, misfits in refused.items():
            if fault := _refusal_fault(misfits):
                faults.append(f"{section.name} / {name} / {saw.id}: {fault}")
            count[f"{saw.id}: refused for {misfits[0].dimension if misfits else 'nothing'}"] += 1
        for cut in cuts:
            for grade, claim in claims(cut):
                answered += 1
                count[f"{saw.id}: set"] += 1
                found = claim_breaches(grade, section, saw, catalog.corrections, claim)
                faults += [f"{section.name} / {grade.name} / {saw.id}: {each}" for each in found]
        if answered != len(catalog.grades):
            faults.append(f"{section.name} / {saw.id}: {answered} answers for {len(catalog.grades)} grades")
        count["walked"] += answered


def _stretch(begin: int, every: int) -> tuple[int, dict[str, int], list[str], float]:
    catalog, used = _catalog(), time.process_time()
    count: Counter[str] = Counter()
    faults: list[str] = []
    for at in range(begin, min(begin + STRETCH * every, len(catalog.sections)), every):
        section = catalog.sections[at]
        try:
            walk(catalog, section, count, faults)
        except Exception as fault:  # a crash is a fault to be counted, not an end of the walk
            faults.append(f"{section.name}: {type(fault).__name__}: {fault}")
    return begin, dict(count), faults, time.process_time() - used


def main() -> int:
    """Walk, print what was found; 1 where anything is at fault."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--state", type=Path, help="file of what is done; a walk goes on from it")
    asked.add_argument("--processes", type=int, default=2)
    asked.add_argument("--every", type=int, default=1, help="every n-th section alone: for trying the tool")
    given = asked.parse_args()
    catalog, began = _catalog(), time.perf_counter()
    done: dict[int, tuple[dict[str, int], list[str], float]] = {}
    if given.state and given.state.exists():
        for line in given.state.read_text(encoding="utf-8").splitlines():
            begin, counted, faults, used = json.loads(line)
            done[begin] = counted, faults, used
    begins = [b for b in range(0, len(catalog.sections), STRETCH * given.every) if b not in done]
    with ProcessPoolExecutor(given.processes, mp_context=get_context("spawn")) as pool:
        for ready in as_completed([pool.submit(_stretch, begin, given.every) for begin in begins]):
            begin, counted, faults, used = ready.result()
            done[begin] = counted, faults, used
            if given.state:
                with given.state.open("a", encoding="utf-8") as file:
                    file.write(json.dumps([begin, counted, faults, used]) + "\n")
    return _told(catalog, done, time.perf_counter() - began)


def _told(catalog: Catalog, done: dict[int, tuple[dict[str, int], list[str], float]], spent: float) -> int:
    count: Counter[str] = Counter()
    for counted, _, _ in done.values():
        count.update(counted)
    faults = [fault for _, found, _ in done.values() for fault in found]
    used = sum(each[2] for each in done.values())
    print(
        f"{len(catalog.sections)} sections, {len(catalog.grades)} grades, {len(catalog.saws)} saws: "
        f"{count.pop('walked', 0):,} cuts walked; {used:.0f} s of processor in all, "
        f"{spent:.0f} s by the clock this time"
    )
    for name, number in sorted(count.items()):
        print(f"  {name:<44} {number:>9,}")
    print(f"{len(faults)} faults")
    for fault in faults[:MOST_SHOWN]:
        print(f"  {fault}")
    return 1 if faults else 0


if __name__ == "__main__":
    raise SystemExit(main())
