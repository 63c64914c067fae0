"""One cut, depth by depth: what the band meets, how fast it may go, and what rules there."""

from kerfsmith.catalog.reading import read_section
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.library.load import load_catalog
from kerfsmith.units.length import Unit

catalog = load_catalog()
saw, grade = catalog.find_saw("yard"), catalog.find_grade("S355J2")
beam = read_section("HEA 200", catalog, bare=Unit.MM)
setting = set_cut(grade, beam, saw, catalog.bands, catalog.corrections)
assert isinstance(setting, CutSetting)
print(f"{beam.name} of {grade.name} on {saw.name}: {setting.band.name}")
print(f"{setting.band_speed_m_per_min:.0f} m/min, {setting.cut_seconds:.0f} s a cut, lies {setting.lie}")
last = ""
for part in setting.slices:
    if part.limit != last:
        print(f"from {part.depth_mm:6.1f} mm: {part.contact_mm:6.1f} mm in the cut, {part.limit} rules")
        last = part.limit
