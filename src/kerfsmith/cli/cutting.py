"""`kerfsmith cut`."""

import json as json_text
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT
from kerfsmith.cli.stopping import unreadable
from kerfsmith.cutting.setting import CannotCut, CutSetting, PowerByMethod
from kerfsmith.errors import Finding, InvalidValue
from kerfsmith.planning.document import cut_document, finding_document
from kerfsmith.units.length import Measure, Unit
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_area, show_feed, show_money, show_power, show_seconds, show_speed
from kerfsmith.units.told import in_measure
from kerfsmith.web.backstage import CutAnswer, CutQuestion
from kerfsmith.wiring.cut import answer_cut
from kerfsmith.wiring.reading import read_drawn_section
from kerfsmith.wiring.shop_at_hand import shop_at_hand


@dataclass(frozen=True, slots=True)
class CutWish:
    """What was asked for on the command line."""

    grade: str
    section: str
    saw: str | None
    band: str | None
    angle_deg: float
    bundle: int
    coolant: bool
    unit: str | None
    measure: str
    json: bool
    choose: str = ""
    hb: float | None = None
    band_state: str = ""
    shop: str = ""


def run_cut(wish: CutWish) -> int:
    """Answer one cut."""
    if wish.measure not in list(Measure) or (wish.unit is not None and wish.unit not in list(Unit)):
        raise InvalidValue("measure is metric or inch; unit is mm, cm, m, in or ft")
    question = CutQuestion(
        grade=wish.grade,
        section=wish.section,
        saw=wish.saw or "",
        band=wish.band or "",
        angle_deg=wish.angle_deg,
        bundle=wish.bundle,
        coolant=wish.coolant,
        choose=wish.choose,
        hb=wish.hb,
        band_state=wish.band_state,
    )
    unit = Unit(wish.unit) if wish.unit else None
    drawn = None
    if wish.section.lower().endswith(".dxf"):
        try:
            drawn = read_drawn_section(Path(wish.section), bare=unit)
        except OSError as error:
            return unreadable(error)
        if drawn.section is None:
            return _at_fault(drawn.findings, wish.json)
        for finding in drawn.findings:
            print(f"{finding.severity}: {finding}", file=sys.stderr)
    shop = shop_at_hand(wish.shop)
    answer = answer_cut(
        question,
        shop.catalog,
        bare=unit,
        drawn=drawn.section if drawn else None,
        factors=shop.rules.factors,
    )
    if answer.findings:
        return _at_fault(answer.findings, wish.json)
    if answer.setting is None:
        assert answer.cannot is not None
        _print_cannot(answer.cannot, Measure(wish.measure), wish.json)
        return CANNOT
    if wish.json:
        document = cut_document(answer.setting, offer=answer.trade_off, mechanics=answer.mechanics)
        document["currency"] = shop.rules.currency
        document["alternatives"] = [
            {"saw": other.saw, "band": other.band.id, "cut_seconds": other.cut_seconds}
            for other in answer.alternatives
        ]
        print(json_text.dumps(document, ensure_ascii=False))
    else:
        _print_setting(answer.setting, Measure(wish.measure))
        _print_trade_off(answer, shop.rules.currency)
    return DONE


def _at_fault(findings: Sequence[Finding], as_json: bool) -> int:
    if as_json:
        documents = [finding_document(finding) for finding in findings]
        print(json_text.dumps({"fits": False, "reasons": [], "findings": documents}, ensure_ascii=False))
    for finding in findings:
        print(finding, file=sys.stderr)
    return INPUT_AT_FAULT


def _print_cannot(cannot: CannotCut, measure: Measure, as_json: bool) -> None:
    if as_json:
        reasons = [
            {
                "saw": saw,
                "dimension": misfit.dimension,
                "wanted": misfit.wanted,
                "limit": misfit.limit,
                "unit": misfit.unit,
                "text": misfit.text,
                "remedy": misfit.remedy,
            }
            for saw, misfits in cannot.misfits
            for misfit in misfits
        ]
        print(json_text.dumps({"fits": False, "reasons": reasons}, ensure_ascii=False))
        return
    print(in_measure(cannot.text, measure))
    for saw, misfits in cannot.misfits:
        for misfit in misfits:
            print(f"  {saw}: {in_measure(misfit.text, measure)}; {in_measure(misfit.remedy, measure)}")


def _print_setting(setting: CutSetting, measure: Measure) -> None:
    low, high = show_seconds(setting.cut_seconds_low), show_seconds(setting.cut_seconds_high)
    print(f"saw         {setting.saw}, {setting.lie}")
    print(f"band        {setting.band.id}: {setting.band.name}")
    print(f"band speed  {show_speed(setting.band_speed_m_per_min, measure)}")
    print(
        f"feed        {show_feed(setting.mean_feed_mm_per_min, measure)} in the mean, "
        f"{show_feed(setting.constant_feed_mm_per_min, measure)} where it can't follow the cut"
    )
    print(f"time        {show_seconds(setting.cut_seconds)} a cut, between {low} and {high}")
    print(f"area        {show_area(setting.area_cm2, measure)}")
    print(f"power       {_power(setting, measure)}")
    print(f"ruled by    {setting.ruling_limit}")
    for reason in setting.reasons:
        source = f" [{reason.source} {reason.where}, {reason.confidence}]" if reason.source else ""
        print(f"  {reason.about}: {in_measure(reason.text, measure)}{source}")
    for caution in setting.cautions:
        print(f"  ! {in_measure(caution, measure)}")


def _power(setting: CutSetting, measure: Measure) -> str:
    """Peak power at the teeth, over the methods that tell it."""
    peaks = [show_power(each.peak_kw, measure) for each in sorted(setting.power_by_method, key=_peak)]
    if not peaks:
        return "not reckoned: no figure is known for this material"
    span = peaks[0] if peaks[0] == peaks[-1] else f"{peaks[0]} to {peaks[-1]} by method"
    return f"{span}, peak at the teeth"


def _peak(method: PowerByMethod) -> float:
    return method.peak_kw


def _money(amount: float, currency: str) -> str:
    return show_money(Money(Decimal(repr(amount)), currency))


def _print_trade_off(answer: CutAnswer, currency: str) -> None:
    """The named settings side by side; ``--choose`` takes one of them."""
    if answer.trade_off is None:
        return
    print(f"to choose from, of {answer.trade_off.tried} settings on {answer.trade_off.saw}:")
    for name in ("quickest", "cheapest", "safest"):
        one = answer.trade_off.named(name)
        cost = f"{_money(one.cost.total, currency)} a cut, " if one.cost else ""
        print(
            f"  {name:<10}{show_seconds(one.seconds)}, {cost}risk {one.risk.share:.0%}, by {one.risk.by} "
            f"(tooth, gullet, band and motor bear {one.strain:.0%}): {one.band.id}"
        )
