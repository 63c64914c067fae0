"""Crooked cuts: the likely causes in order, each with what speaks for it."""

from kerfsmith.catalog.reading import read_section
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.mechanics import band_report
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.faults.circumstances import Chips, Circumstances, Seen
from kerfsmith.faults.judge import likely_causes
from kerfsmith.faults.table import Symptom
from kerfsmith.library.faults import load_faults
from kerfsmith.library.load import load_catalog
from kerfsmith.units.length import Unit

catalog = load_catalog()
saw, grade = catalog.find_saw("north"), catalog.find_grade("4140")
section = read_section("round 100", catalog, bare=Unit.MM)
setting = set_cut(grade, section, saw, catalog.bands, catalog.corrections)
assert isinstance(setting, CutSetting)
case = Circumstances(
    grade,
    saw,
    setting,
    report=band_report(grade, saw, setting, catalog.corrections),
    seen=Seen(feed_mm_per_min=95.0, chips=Chips.THICK_BLUE, square_in_vise=True),
)
for cause in likely_causes(Symptom.CROOKED, case, load_faults())[:3]:
    print(f"{cause.cause.name}: about {100 * cause.share:.0f} in 100")
    for clue in cause.clues:
        print(f"  {'for' if clue.speaks_for else 'against'}: {clue.text}")
