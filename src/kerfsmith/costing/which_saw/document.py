"""A comparison of saws as a JSON-ready document. Money is text, so that no digit of it is lost."""

from typing import Any

from kerfsmith.costing.document import amount_text
from kerfsmith.costing.reckoning import Span3
from kerfsmith.costing.which_saw.compare import Comparison, SawReport
from kerfsmith.costing.which_saw.pay_back import PayBack


def comparison_document(comparison: Comparison) -> dict[str, Any]:
    """The whole comparison."""
    workload = comparison.workload
    return {
        "workload": workload.name,
        "basis": workload.basis,
        "pieces_a_year": float(workload.pieces_a_year),
        "currency": comparison.rates.currency,
        "lines_common": len(comparison.common),
        "against": comparison.against,
        "saws": [_saw(report, comparison) for report in comparison.saws],
        "pieces": [_piece(line.id, line.mark, comparison) for line in workload.lines],
        "pay_back": [_pay_back(one) for one in comparison.pay_backs],
        "assumptions": list(comparison.assumptions),
        "sources": [
            {"key": one.key, "title": one.title, "confidence": one.confidence.value}
            for one in comparison.sources
        ],
    }


def _saw(report: SawReport, comparison: Comparison) -> dict[str, Any]:
    year = report.year
    return {
        "saw": year.saw.id,
        "name": year.saw.name,
        "pieces_a_year": float(year.pieces_a_year),
        "hours_a_year": list(year.hours()),
        "hours_on_common_work": list(year.hours(comparison.common)),
        "pieces_a_shift": year.pieces_a_shift(comparison.shop_year),
        "bands_a_year": list(bands) if (bands := year.bands_a_year()) else None,
        "cost_each_on_common_work": _span(year.cost_each(comparison.common)),
        "cannot": [
            {
                "line": one.line.id,
                "mark": one.line.mark,
                "pieces_a_year": float(one.pieces_a_year),
                "reason": one.reason,
            }
            for one in year.cannot
        ],
        "limits": [
            {
                "limit": reach.limit,
                "most": reach.most,
                "allowed": reach.allowed,
                "unit": reach.unit,
                "share": reach.share,
                "where": reach.where,
                "pieces_at_limit": reach.share_at_limit,
                "note": reach.note,
            }
            for reach in report.reaches
        ],
        "sawing_time_ruled_by": {limit.value: share for limit, share in report.time_ruled},
        "tolerance": {verdict.value: share for verdict, share in report.verdicts.items()},
        "specials": [
            {
                "figure": one.figure,
                "has": one.has,
                "must_reach": one.must_reach,
                "unit": one.unit,
                "why": one.why,
                "pieces_a_year": one.pieces_a_year,
                "hours_saved_a_year": one.hours,
            }
            for one in report.specials
        ],
        "doubts": list(year.cost.doubts),
    }


def _piece(line_id: str, mark: str, comparison: Comparison) -> dict[str, Any]:
    costs = {}
    for report in comparison.saws:
        found = report.year.cost.of_line(line_id)
        costs[report.year.saw.id] = amount_text(found.each) if found is not None else None
    return {"line": line_id, "mark": mark, "cost_each": costs}


def _pay_back(one: PayBack) -> dict[str, Any]:
    return {
        "saw": one.saw,
        "against": one.against,
        "price": amount_text(one.offer.price),
        "saving_a_year": amount_text(one.saving),
        "saving_between": [amount_text(one.saving_low), amount_text(one.saving_high)],
        "years": float(one.years) if one.years is not None else None,
        "reason": one.reason,
        "cases": [
            {
                "moved": case.name,
                "years_worse": float(case.worse) if case.worse is not None else None,
                "years_better": float(case.better) if case.better is not None else None,
            }
            for case in one.cases
        ],
    }


def _span(span: Span3 | None) -> dict[str, str] | None:
    if span is None:
        return None
    return {
        "low": amount_text(span.low),
        "likely": amount_text(span.likely),
        "high": amount_text(span.high),
    }
