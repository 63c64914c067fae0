"""A list of the bars and remnants on the rack as a file."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from kerfsmith.catalog.section import Section
from kerfsmith.errors import Finding, Severity, UnreadableText
from kerfsmith.exchange.columns import Column, ColumnMatch
from kerfsmith.exchange.grade_cells import GradeCells, GradeReader
from kerfsmith.exchange.heading_words import RACK_FIELDS
from kerfsmith.exchange.list_file import Told, read_list
from kerfsmith.exchange.row_ids import RowIds
from kerfsmith.exchange.row_reader import RowReader
from kerfsmith.exchange.section_cells import SectionReader, read_row_section, remembered
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.units.length import UM_PER_FOOT, UM_PER_MM
from kerfsmith.units.parse import Unit, parse_money
from kerfsmith.units.told import sentence

MassReader = Callable[[str, Section, int], float]
"""Mass in kg of a bar: name of its grade, its section, its length in µm."""

_KG_PER_LB = Decimal("0.45359237")
_UM_PER_M = 1_000 * UM_PER_MM
_NEEDED = ("grade", "section", "shape", "length", "count")


class PricePer(StrEnum):
    """What a price in a rack list is for."""

    BAR = "bar"
    KG = "kg"
    TONNE = "t"
    LB = "lb"
    M = "m"
    FOOT = "ft"


_PER_WORDS = {
    **dict.fromkeys(
        ("bar", "barre", "barra", "stange", "stab", "piece", "pc", "pcs", "st", "stk"), PricePer.BAR
    ),
    **dict.fromkeys(("stück", "stuck", "each", "ea", "pieza"), PricePer.BAR),
    **dict.fromkeys(("kg", "kilo", "kilogram"), PricePer.KG),
    **dict.fromkeys(("t", "to", "tonne", "tonnes"), PricePer.TONNE),
    **dict.fromkeys(("lb", "lbs", "pound"), PricePer.LB),
    **dict.fromkeys(("m", "mtr", "meter", "metre", "metro", "mètre", "lfm"), PricePer.M),
    **dict.fromkeys(("ft", "foot", "pie", "pied"), PricePer.FOOT),
}
_PER = re.compile(r"(?:/|\b(?:per|je|pro|par|por|a|à|la)\b)\s*([^\W\d]+)")
_CURRENCY = re.compile(r"\b(EUR|USD|GBP|CAD|AUD|CHF)\b")
_KIND_WORDS = {
    **dict.fromkeys(
        ("bar", "full", "full bar", "new", "stock", "stange", "barre", "barra", "no"), BarKind.BAR
    ),
    **dict.fromkeys(("n", "false", "nein", "non"), BarKind.BAR),
    **dict.fromkeys(
        ("remnant", "rem", "offcut", "off-cut", "drop", "rest", "reststück", "chute"), BarKind.REMNANT
    ),
    **dict.fromkeys(("recorte", "retal", "yes", "y", "x", "true", "ja", "oui", "si", "sí"), BarKind.REMNANT),
    **dict.fromkeys(("to buy", "buy", "can be bought"), BarKind.TO_BUY),
}
_END_WORDS = {
    **dict.fromkeys(("good", "square", "sawn", "saw cut", "cut", "yes", "y", "x", "true", "ja", "oui"), True),
    **dict.fromkeys(("si", "sí", "gut", "gesägt", "gesagt", "bon", "scié", "bueno", "aserrado"), True),
    **dict.fromkeys(("as rolled", "rolled", "as supplied", "rough", "raw", "sheared", "no", "n"), False),
    **dict.fromkeys(("false", "nein", "non", "roh", "brut", "bruto", "en bruto"), False),
}


@dataclass(frozen=True, slots=True)
class RackRead:
    """What a rack list gave; rows read = bars + bad + blank + total + heading, as in an order."""

    bars: tuple[Bar, ...]
    findings: tuple[Finding, ...]
    columns: ColumnMatch
    rows_read: int
    rows_bad: int
    rows_blank: int
    rows_total: int
    rows_heading: int
    decimal: str | None


def read_rack(
    name: str,
    data: bytes,
    *,
    read_grade: GradeReader,
    read_section: SectionReader,
    mass_kg: MassReader,
    currency: str,
    bare_unit: Unit | None = None,
    columns: Mapping[str, str | int | None] | None = None,
    decimal: str | None = None,
    price_per: PricePer | None = None,
) -> RackRead:
    """Read a rack list from CSV, TSV, XLSX or ODS bytes; the settings are those of reading an order.

    ``currency`` is the shop's: a price in another is a finding. ``price_per`` says what prices are for where
    the heading doesn't; where neither does, prices are left out with a warning. A row whose count is 0 is
    left out with a note. Never raises for anything in ``data``.
    """
    ids = RowIds()
    grades, sections = GradeCells(read_grade), remembered(read_section)

    def read_item(row: RowReader) -> Bar | None:
        basis = price_per or _basis(row.match.columns.get("price"))
        return _bar(row, grades, sections, _Prices(mass_kg, currency, basis), ids)

    told = Told(bare_unit, columns, decimal)
    read = read_list(name, data, RACK_FIELDS, told, read_item)
    findings = read.findings
    if read.columns.has("price") and price_per is None and _basis(read.columns.columns["price"]) is None:
        findings = (*findings, _no_basis(name, read.columns))
    return RackRead(
        read.items,
        findings,
        read.columns,
        read.rows_read,
        read.rows_bad,
        read.rows_blank,
        read.rows_total,
        read.rows_heading,
        read.habits.decimal,
    )


@dataclass(frozen=True, slots=True)
class _Prices:
    mass_kg: MassReader
    currency: str
    basis: PricePer | None

    def of_bar(self, row: RowReader, grade: str, section: Section, length_um: int) -> Decimal | None:
        """Price of one bar in the shop's currency; None where none is given or its basis isn't known."""
        if self.basis is None:
            return None
        amount = row.read("price", lambda text: self._amount(row, text))
        if amount is None or self.basis is PricePer.BAR:
            return amount
        if self.basis in (PricePer.M, PricePer.FOOT):
            return amount * length_um / (_UM_PER_M if self.basis is PricePer.M else UM_PER_FOOT)
        mass_kg = Decimal(repr(self.mass_kg(grade, section, length_um)))
        per_kg = {PricePer.KG: Decimal(1), PricePer.TONNE: Decimal("0.001"), PricePer.LB: 1 / _KG_PER_LB}
        return amount * mass_kg * per_kg[self.basis]

    def _amount(self, row: RowReader, text: str) -> Decimal:
        heading = row.match.columns["price"].heading
        written = _CURRENCY.search(heading.upper())
        sign = next((sign for sign in "€$£" if sign in heading), None)
        currency = written[1] if written else {"€": "EUR", "£": "GBP"}.get(sign or "", self.currency)
        currency = row.text("currency").upper() or currency
        money = parse_money(text, currency=currency, decimal=row.decimal("price"))
        if money.currency != self.currency:
            raise UnreadableText(
                text[:60],
                sentence("is in {currency}, not in {ours}", currency=money.currency, ours=self.currency),
                sentence("write the price in {currency}", currency=self.currency),
            )
        return money.amount


def _basis(column: Column | None) -> PricePer | None:
    """What the prices are for, by their heading: ``Price/kg``, ``Price per bar``, ``€/m``."""
    heading = column.heading.lower().replace("_", " ") if column else ""
    if re.search(r"\b(?:each|ea|stückpreis)\b", heading):
        return PricePer.BAR
    match = _PER.search(heading)
    return _PER_WORDS.get(match[1]) if match else None


def _no_basis(name: str, match: ColumnMatch) -> Finding:
    return Finding(
        "price-basis",
        Severity.WARNING,
        name,
        match.heading_row,
        "price",
        match.columns["price"].heading,
        "doesn't say what the price is for, so prices were left out",
        "Write the heading as price per bar, price per kg or price per m",
    )


def _bar(
    row: RowReader, grades: GradeCells, sections: SectionReader, prices: _Prices, ids: RowIds
) -> Bar | None:
    if all(row.cell(field) is None for field in _NEEDED):
        row.fail(
            "row-empty",
            None,
            "has no grade, no section, no length and no count",
            "Complete the row, or take it out if it is only a title",
        )
        return None
    if row.text("count") in ("0", "0.0", "0,0"):
        row.add("count-zero", Severity.NOTE, "count", "is none, and the row was left out", "Nothing")
        return None
    grade = grades.read(row)
    section = read_row_section(row, sections)
    length = row.length("length")
    kind = row.read("kind", _kind) or BarKind.BAR
    may_be_uncounted = kind is BarKind.TO_BUY and row.cell("count") is None
    count = None if may_be_uncounted else row.quantity("count")
    end_is_good = row.read("far_end", _is_good) or False
    heat, place, name = row.name("heat"), row.name("place"), row.name("id")
    if not row.is_good or grade is None or section is None or length is None:
        return None
    return Bar(
        id=ids.give(row, "id", name, needed=False),
        grade=grade,
        section=section,
        length_um=length.um,
        count=count,
        heat=heat,
        place=place,
        price=prices.of_bar(row, grade, section, length.um),
        kind=kind,
        row=row.row.number,
        end_is_good=end_is_good,
    )


def _is_good(text: str) -> bool:
    """Whether the far end is square and sound. Raises UnreadableText."""
    good = _END_WORDS.get(" ".join(text.lower().split()))
    if good is None:
        raise UnreadableText(text[:60], "doesn't say how the far end is", "write good or as rolled")
    return good


def _kind(text: str) -> BarKind:
    kind = _KIND_WORDS.get(" ".join(text.lower().split()))
    if kind is None:
        raise UnreadableText(text[:60], "is neither a bar nor a remnant", "write bar, remnant or to buy")
    return kind
