"""The walk over the catalog finds no fault in what it walks, answers every grade, and sees a planted one."""

from collections import Counter
from dataclasses import replace

from benchmarks.cutting.sweep import claims, walk

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.cutting.check import claim_breaches
from kerfsmith.cutting.many_grades import set_grades


def test_sections_in_all_grades_on_all_saws_stand_before_the_referee(catalog: Catalog) -> None:
    count: Counter[str] = Counter()
    faults: list[str] = []
    for name in ("W12X26", "NPS 4 Sch 40"):
        walk(catalog, catalog.find_section(name), count, faults)
    assert faults == []
    assert count["walked"] == 2 * len(catalog.grades) * len(catalog.saws)
    assert count["north: set"] > 100


def test_a_claim_that_feeds_too_fast_is_seen(catalog: Catalog) -> None:
    section, saw = catalog.find_section("W12X26"), catalog.find_saw("north")
    [cut], _ = set_grades([catalog.find_grade("A36")], section, saw, catalog.bands, catalog.corrections)
    [(grade, claim)] = claims(cut)
    assert claim_breaches(grade, section, saw, catalog.corrections, claim) == ()
    columns = replace(
        claim.columns,
        feed_mm_per_min=claim.columns.feed_mm_per_min * 1.02,
        chip_um=claim.columns.chip_um * 1.02,
    )
    found = claim_breaches(grade, section, saw, catalog.corrections, replace(claim, columns=columns))
    assert {breach.what for breach in found} & {"area rate", "greatest chip", "teeth in the cut"}
