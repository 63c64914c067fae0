"""Every grade, many sections, every saw: a setting that the referee passes, or a plain reason. Never a crash.

The product of all grades, sections and saws is over a million cuts; here a bounded share of it is walked, the
same each time: all grades over some sections, all sections over some grades, with mitres and bundles among
them. Set KERFSMITH_SWEEP_EVERY=1 to walk all of it.
"""

import math
import os
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.geometry.polygons import outlines

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.check import breaches
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CannotCut
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.shapes import Drawn, Flat, Hexagon, RectTube, Round, RoundTube, Square

EVERY_NTH = int(os.environ.get("KERFSMITH_SWEEP_EVERY", "23"))
"""One cut in so many is made; 1 makes them all."""

PLAIN = [
    Section(shape.key(), shape)
    for shape in (
        Round(12),
        Round(50),
        Round(101.6),
        Round(300),
        Square(30),
        Square(200),
        Flat(100, 10),
        Flat(250, 60),
        Hexagon(40),
        RoundTube(60.3, 3.91),
        RoundTube(219.1, 8.18),
        RectTube(150, 100, 6, 12, 6),
        RectTube(60, 60, 3, 6, 3),
    )
]
ANGLES = (0.0, 0.0, 45.0, 0.0, 30.0, 60.0)
BUNDLES = (1, 1, 1, 4, 1, 7, 1)

Cut = tuple[Grade, Section, SawSheet, float, int]


def _cuts(catalog: Catalog, every: int) -> Iterator[Cut]:
    """The cuts of the walk, each with an angle and a bundle by its place in it."""
    few = catalog.sections[:: max(1, len(catalog.sections) // 45)]
    some_grades = [catalog.find_grade(name) for name in ("A36", "316", "6061")]
    pairs = [(g, s) for g in catalog.grades for s in (*PLAIN, *few)]
    pairs += [(g, s) for g in some_grades for s in catalog.sections]
    number = 0
    for grade, section in pairs:
        for saw in catalog.saws:
            number += 1
            if number % every == 0:
                turn = number // every
                yield grade, section, saw, ANGLES[turn % len(ANGLES)], BUNDLES[turn % len(BUNDLES)]


@pytest.mark.parametrize("part", range(4))
def test_every_cut_has_a_sound_setting_or_a_plain_reason(catalog: Catalog, part: int) -> None:
    made = refused = 0
    for number, (grade, section, saw, angle, bundle) in enumerate(_cuts(catalog, EVERY_NTH)):
        if number % 4 != part:
            continue
        count = bundle if angle == 0 and section.shape.can_bundle else 1
        name = f"{grade.name} / {section.name} / {saw.id} at {angle:g} degrees, {count} at once"
        found = set_cut(
            grade, section, saw, catalog.bands, catalog.corrections, angle_deg=angle, bundle=count
        )
        if isinstance(found, CannotCut):
            refused += 1
            misfits = found.misfits[0][1]
            assert misfits, name
            assert all(
                m.text and m.dimension and math.isfinite(m.wanted) and math.isfinite(m.limit) for m in misfits
            )
            continue
        made += 1
        assert found.cut_seconds > 0, name
        assert breaches(grade, section, saw, catalog.corrections, found) == (), name
    assert made > 100
    assert refused > 100


@settings(max_examples=40, deadline=None)
@given(outline=outlines(), grade=st.sampled_from(["4140", "316", "Ti-6Al-4V", "6061"]))
def test_any_drawn_section_has_a_sound_setting_or_a_plain_reason(
    catalog: Catalog, outline: Outline, grade: str
) -> None:
    section = Section("drawn", Drawn(outline, "drawn"))
    metal = catalog.find_grade(grade)
    for saw in catalog.saws:
        found = set_cut(metal, section, saw, catalog.bands, catalog.corrections)
        if isinstance(found, CannotCut):
            assert found.misfits[0][1]
        else:
            assert breaches(metal, section, saw, catalog.corrections, found) == ()
