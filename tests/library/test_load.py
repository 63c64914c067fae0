"""Loading: fast, with a shop's own tables laid over, and with faults that say where they are."""

from pathlib import Path

import pytest

from kerfsmith.catalog.figure import Confidence
from kerfsmith.library.load import load_catalog
from kerfsmith.library.tables import CatalogFault

OWN_BAND = b"""
[[band]]
id = "B34-4/6"
edge = "bimetal"
width_mm = 34
thickness_mm = 1.1
pitch = [4, 6]
tooth_form = "standard"
tooth_set = "raker"
kerf = { value = 1.72, unit = "mm", source = "shop", where = "measured, 20 cuts", confidence = "shop" }
price_per_m = { value = 0.4, unit = "currency/m", source = "shop", where = "invoice", confidence = "shop" }

[[source]]
key = "shop"
title = "Our own measurements"
kind = "measurement"
"""
OWN_GRADE = b"""
[cite.shop]
source = "house"
where = "our cards"
confidence = "shop"

[[grade]]
name = "42X"
designations = [["works", "WX42"]]
group = "alloy steel"
condition = "as bought"
hb = { value = 200, unit = "HB", cite = "shop" }
hb_annealed = 200
band_speed = { value = 200, unit = "ft/min", low = 190, high = 220, cite = "shop" }
"""


def section_table(shape: str, columns: str, rows: str) -> bytes:
    head = f'[[section_table]]\nname = "ours"\nstandard = "house"\nshape = "{shape}"\n'
    return f"{head}columns = {columns}\nrows = {rows}\n".encode()


def test_it_is_broad() -> None:
    catalog = load_catalog()
    assert len(catalog.grades) > 200
    assert len(catalog.sections) > 2000


def test_every_section_can_be_drawn() -> None:
    for section in load_catalog().sections:
        outline = section.shape.outline()
        assert outline.area_mm2 > 0
        assert section.key


def test_names_of_sections_lead_back_to_them() -> None:
    catalog = load_catalog()
    clashes = [
        name
        for row in catalog.section_rows
        for name in (row.name, *row.aliases)
        if catalog.find_section(name).name != row.name
    ]
    assert clashes == []


def test_a_shop_lays_its_own_band_over(tmp_path: Path) -> None:
    file = tmp_path / "ours.toml"
    file.write_bytes(OWN_BAND)
    for extra in (file, OWN_BAND):
        catalog = load_catalog(extra=[extra])
        band = catalog.find_band("B34-4/6")
        assert (band.kerf.value, band.kerf.confidence) == (1.72, Confidence.SHOP)
        assert catalog.source("shop").title == "Our own measurements"
        assert len(catalog.bands) == len(load_catalog().bands)


def test_a_shop_adds_a_grade_that_takes_the_rest_from_its_group() -> None:
    catalog = load_catalog(extra=[OWN_GRADE])
    grade = catalog.find_grade("wx42")
    assert grade.band_speed.value == pytest.approx(60.96)
    assert grade.band_speed.note == "given as 200 ft/min"
    assert grade.rate_bimetal == catalog.find_grade("4130").rate_bimetal


def test_without_the_demo_there_are_no_saws() -> None:
    assert load_catalog(demo_saws=False).saws == ()


def test_sections_of_a_shop() -> None:
    own = (
        section_table("flat", '["name", "width", "thickness"]', '[["key stock", 0.5, 0.25]]') + b'unit = "in"'
    )
    catalog = load_catalog(extra=[own])
    assert catalog.find_section("KEY-STOCK").shape.key() == "flat:12700x6350"


@pytest.mark.parametrize(
    ("data", "table", "field"),
    [
        (b"[[band]\n", "", ""),
        (b"\xff\xfe", "", ""),
        (b'[[band]]\nid = "X"\n', "band X", "edge"),
        (OWN_BAND.replace(b"bimetal", b"brass"), "band B34-4/6", "edge"),
        (OWN_BAND.replace(b"[4, 6]", b"[4]"), "band B34-4/6", "pitch"),
        (OWN_BAND.replace(b"[4, 6]", b"[6, 4]"), "band B34-4/6", ""),
        (OWN_BAND.replace(b"width_mm = 34", b'width_mm = "34"'), "band B34-4/6", "width_mm"),
        (OWN_BAND.replace(b"tooth_form", b"tooth_from"), "band B34-4/6", "tooth_form"),
        (
            OWN_BAND.replace(b'tooth_set = "raker"', b'tooth_set = "raker"\ncolour = "blue"'),
            "band B34-4/6",
            "colour",
        ),
        (OWN_BAND.replace(b'unit = "mm"', b'unit = "kg"'), "band B34-4/6.kerf", "unit"),
        (
            OWN_BAND.replace(b'confidence = "shop"', b'confidence = "sure"', 1),
            "band B34-4/6.kerf",
            "confidence",
        ),
        (OWN_BAND.replace(b"value = 1.72", b"value = 1.72, low = 2"), "band B34-4/6.kerf", "value"),
        (OWN_GRADE.replace(b"alloy steel", b"alloy"), "grade 42X", "group"),
        (OWN_GRADE.replace(b'cite = "shop"', b'cite = "ship"', 1), "grade 42X.hb", "cite"),
        (OWN_GRADE + b'hazards = ["dragons"]\n', "grade 42X", "hazards"),
        (OWN_GRADE + b"kienzle = 99\n", "grade 42X", "kienzle"),
        (OWN_GRADE + b'unit_power = "guess"\n', "grade 42X", "unit_power"),
        (OWN_GRADE.replace(b'["works", "WX42"]', b'["works"]'), "grade 42X", "designations"),
        (section_table("blob", "[]", "[]"), "section_table ours", "shape"),
        (
            section_table("round tube", '["name", "outer", "wall"]', '[["t", 10, 6]]'),
            "section_table ours",
            "rows",
        ),
        (section_table("round", '["name", "diameter"]', '[["t"]]'), "section_table ours", "rows"),
    ],
)
def test_a_fault_names_file_table_and_field(tmp_path: Path, data: bytes, table: str, field: str) -> None:
    file = tmp_path / "ours.toml"
    file.write_bytes(data)
    with pytest.raises(CatalogFault) as fault:
        load_catalog(extra=[file])
    assert (fault.value.file, fault.value.table, fault.value.field) == ("ours.toml", table, field)
    assert "ours.toml" in str(fault.value)


def test_a_missing_file_is_a_fault() -> None:
    with pytest.raises(CatalogFault, match="can't be opened"):
        load_catalog(extra=[Path("/nowhere/ours.toml")])


def test_two_grades_may_not_share_a_name() -> None:
    with pytest.raises(CatalogFault, match="4140"):
        load_catalog(extra=[OWN_GRADE.replace(b'name = "42X"', b'name = "42X"\naliases = ["G41400"]')])
