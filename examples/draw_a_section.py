"""A section drawn as DXF: its outline becomes a section that is cut like any other."""

import io

from ezdxf.document import Drawing

from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.exchange.dxf.read import read_dxf_section
from kerfsmith.library.load import load_catalog

drawing = Drawing.new()
drawing.units = 4  # mm
corners = [(0, 0), (60, 0), (60, 15), (15, 15), (15, 80), (0, 80)]
drawing.modelspace().add_lwpolyline(corners, close=True)
text = io.StringIO()
drawing.write(text)
read = read_dxf_section("hook.dxf", text.getvalue().encode(), name="hook")
assert read.section is not None
catalog = load_catalog()
saw = catalog.find_saw("yard")
setting = set_cut(catalog.find_grade("S235JR"), read.section, saw, catalog.bands, catalog.corrections)
assert isinstance(setting, CutSetting)
print(f"{read.section.name}: {setting.area_cm2:.2f} cm2, {setting.band.id}, {setting.cut_seconds:.0f} s")
