"""What feed control is worth: the same cuts on a saw that can only hold one thing steady."""

from kerfsmith.catalog.reading import read_section
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.library.load import load_catalog
from kerfsmith.units.length import Unit

catalog = load_catalog()
saw, grade = catalog.find_saw("north"), catalog.find_grade("4140")
for name in ("round 100", "square 100", "tube 114.3 x 20", "flat 150 x 40"):
    section = read_section(name, catalog, bare=Unit.MM)
    setting = set_cut(grade, section, saw, catalog.bands, catalog.corrections)
    if not isinstance(setting, CutSetting):
        print(f"{name}: {setting.text}")
        continue
    times = {str(one.control): one.seconds for one in setting.by_control}
    best = min(times.values())
    told = ", ".join(f"{control} {seconds / best:.2f}" for control, seconds in sorted(times.items()))
    print(f"{name}: {best:.0f} s; times it takes: {told}")
