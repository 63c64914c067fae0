"""The quickest, the cheapest and the safest setting, and what lies between them."""

from kerfsmith.catalog.reading import read_section
from kerfsmith.cutting.setting import CannotCut
from kerfsmith.cutting.trade_off import alternatives
from kerfsmith.library.load import load_catalog
from kerfsmith.units.length import Unit

catalog = load_catalog()
section = read_section("round 80", catalog, bare=Unit.MM)
offer = alternatives(
    catalog.find_grade("304"), section, catalog.find_saw("north"), catalog.bands, catalog.corrections
)
assert not isinstance(offer, CannotCut)
print(f"{offer.tried} settings compared, {len(offer.front)} that nothing beats")
for one in offer.front:
    if one.names:
        names = ", ".join(one.names)
        print(
            f"{names}: {one.band.id}, {one.speed_m_per_min:.0f} m/min, {one.seconds:.0f} s, {one.price:.2f}"
        )
