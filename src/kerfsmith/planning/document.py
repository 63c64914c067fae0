"""A plan as JSON-ready documents, for other programs to read. Lengths in mm, times in seconds."""

from dataclasses import asdict
from typing import Any

from kerfsmith.cutting.mechanics import BandReport
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.cutting.trade_off import TradeOff
from kerfsmith.cutting.weighing import Alternative
from kerfsmith.errors import Finding
from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar, PlanStatus
from kerfsmith.shop.factors import Factor
from kerfsmith.units.length import um_to_mm

STATUS_WORDS = {
    PlanStatus.BEST: "optimal",
    PlanStatus.GOOD: "feasible",
    PlanStatus.SHORT: "infeasible",
    PlanStatus.CANNOT: "infeasible",
    PlanStatus.OPEN: "unfinished",
}
"""A group's status in the words of a bare nesting problem; ``standing`` carries the plan's own words."""


def plan_document(plan: Plan, findings: tuple[Finding, ...] = ()) -> dict[str, Any]:
    """The whole plan with its findings."""
    return {
        "plan": plan.id,
        "name": plan.name,
        "seed": plan.seed,
        "pieces_wanted": plan.pieces_wanted,
        "pieces_planned": plan.pieces_planned,
        "bars_used": plan.bars_used,
        "hours": plan.hours,
        "findings": [finding_document(finding) for finding in (*findings, *plan.findings)],
        "groups": [group_document(group) for group in plan.groups],
    }


def finding_document(finding: Finding) -> dict[str, Any]:
    """One finding."""
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "file": finding.file,
        "row": finding.row,
        "field": finding.field,
        "read": finding.read,
        "problem": finding.problem,
        "remedy": finding.remedy,
    }


def group_document(group: PlanGroup) -> dict[str, Any]:
    """One group: where it is cut, with which setting, from which bars, and how good that is."""
    return {
        "id": group.id,
        "grade": group.grade,
        "section": group.section.name,
        "section_key": group.section.key,
        "saw": group.saw,
        "saw_name": group.saw_name,
        "status": STATUS_WORDS[group.status],
        "standing": group.status.value,
        "cost": group.cost,
        "lower_bound": group.lower_bound,
        "gap": group.gap,
        "cost_unit": group.cost_unit,
        "bound_source": group.bound_source,
        "bars_used": group.bars_used,
        "loads": group.loads,
        "pieces_wanted": group.pieces_wanted,
        "pieces_planned": group.pieces_planned,
        "yield": group.yield_share,
        "seconds": group.times.total_s,
        "sawing_seconds": [group.times.sawing_low_s, group.times.sawing_s, group.times.sawing_high_s],
        "mass_kg_per_m": group.mass_kg_per_m,
        "first_due": group.first_due.isoformat() if group.first_due else None,
        "settings": [setting_document(setting) for setting in group.settings],
        "bundle_settings": [setting_document(setting) for setting in group.bundle_settings],
        "bars": [bar_document(bar) for bar in group.bars],
        "unplanned": [
            {"line": one.line_id, "mark": one.mark, "count": one.count, "reason": one.reason}
            for one in group.unplanned
        ],
        "saws_tried": [
            {
                "saw": tried.saw,
                "fits": tried.fits,
                "hours": tried.hours,
                "reasons": [misfit.text for misfit in tried.misfits],
            }
            for tried in group.tried
        ],
        "substituted": [
            {"line": one.line_id, "mark": one.mark, "count": one.count, "ordered": one.ordered.name}
            for one in group.substituted
        ],
        "substitutes_save": asdict(group.substitutes_price) if group.substitutes_price else None,
        "notes": list(group.notes),
        "factors": [factor_document(factor) for factor in group.factors],
    }


def factor_document(factor: Factor) -> dict[str, Any]:
    """What the shop's records put on a published figure; an empty field of its scope stands for any."""
    scope = factor.scope
    return {
        "measure": factor.measure.value,
        "grade": scope.grade,
        "saw": scope.saw,
        "section_kind": scope.section_kind,
        "band": scope.band_kind,
        "factor": factor.value,
        "low": factor.low,
        "high": factor.high,
        "records": factor.count,
        "frozen": factor.frozen,
    }


def setting_document(setting: CutSetting) -> dict[str, Any]:
    """One setting without its slices."""
    return {
        "saw": setting.saw,
        "band": band_document(setting),
        "lie": setting.lie,
        "at_once": setting.bundle,
        "angle_deg": setting.angle_deg,
        "band_speed_m_per_min": setting.band_speed_m_per_min,
        "mean_feed_mm_per_min": setting.mean_feed_mm_per_min,
        "constant_feed_mm_per_min": setting.constant_feed_mm_per_min,
        "cut_seconds": setting.cut_seconds,
        "cut_seconds_low": setting.cut_seconds_low,
        "cut_seconds_high": setting.cut_seconds_high,
        "area_cm2": setting.area_cm2,
        "peak_power_kw": setting.peak_power_kw,
        "mean_power_kw": setting.mean_power_kw,
        "peak_force_n": setting.peak_force_n,
        "teeth_in_cut": [setting.least_teeth_in_cut, setting.most_teeth_in_cut],
        "ruling_limit": setting.ruling_limit.value,
        "cautions": list(setting.cautions),
    }


def band_document(setting: CutSetting) -> dict[str, Any]:
    """The band of a setting."""
    band = setting.band
    return {
        "id": band.id,
        "name": band.name,
        "pitch": str(band.pitch) if band.pitch else None,
        "width_mm": band.width_mm,
        "thickness_mm": band.thickness_mm,
        "edge": band.edge.value,
        "kerf_mm": um_to_mm(setting.kerf_um),
    }


def cut_document(
    setting: CutSetting, *, offer: TradeOff | None = None, mechanics: BandReport | None = None
) -> dict[str, Any]:
    """One cut's setting with its reasons and slices, what to choose from, and what the band bears."""
    return {
        "fits": True,
        **setting_document(setting),
        "reasons": [
            {
                "about": reason.about,
                "text": reason.text,
                "formula": reason.formula,
                "source": reason.source,
                "where": reason.where,
                "confidence": reason.confidence.value,
            }
            for reason in setting.reasons
        ],
        "slices": [
            {
                "depth_mm": one.depth_mm,
                "contact_mm": one.contact_mm,
                "feed_mm_per_min": one.feed_mm_per_min,
                "limit": one.limit.value,
                "teeth_in_cut": one.teeth_in_cut,
                "chip_um": one.chip_um,
                "power_kw": one.power_kw,
                "force_n": one.force_n,
            }
            for one in setting.slices
        ],
        "trade_off": trade_off_document(offer) if offer else None,
        "band_mechanics": mechanics_document(mechanics) if mechanics else None,
    }


def trade_off_document(offer: TradeOff) -> dict[str, Any]:
    """What there is to choose from: the front, quickest first, its named ends, and each band's quickest."""
    front = [alternative_document(one) for one in offer.front]
    return {
        "saw": offer.saw,
        "tried": offer.tried,
        "front": front,
        "named": {name: front[at] for at, one in enumerate(offer.front) for name in one.names},
        "by_band": [alternative_document(one) for one in offer.by_band],
    }


def alternative_document(one: Alternative) -> dict[str, Any]:
    """One setting of a trade-off. ``strain`` is the largest share of what tooth, gullet, band and motor bear,
    ``risk`` the largest of that and of rubbing, teeth in a wall and fire, ``risk_by`` which of them it is;
    cost is None where no life of the band is known.
    """
    return {
        "names": list(one.names),
        "band": {"id": one.band.id, "name": one.band.name},
        "lie": one.lie,
        "band_speed_m_per_min": one.speed_m_per_min,
        "feed_share": one.feed_share,
        "cut_seconds": one.seconds,
        "cut_seconds_low": one.seconds_low,
        "cut_seconds_high": one.seconds_high,
        "cost": one.cost.total if one.cost else None,
        "cost_low": one.cost.low if one.cost else None,
        "cost_high": one.cost.high if one.cost else None,
        "strain": one.strain,
        "risk": one.risk.share,
        "risk_by": one.risk.by,
        "life_area_cm2": list(one.life.as_tuple()) if one.life else None,
    }


def mechanics_document(report: BandReport) -> dict[str, Any]:
    """What the band of a setting goes through, by the names and units of its report."""
    return asdict(report)


def bar_document(bar: PlannedBar) -> dict[str, Any]:
    """One planned bar, its parts in the order of cutting."""
    return {
        "bar": bar.bar_id,
        "kind": bar.kind.value,
        "heat": bar.heat,
        "place": bar.place,
        "times": bar.times,
        "at_once": bar.at_once,
        "length_mm": um_to_mm(bar.length_um),
        "facing_mm": um_to_mm(bar.facing_um),
        "facing_kerf_mm": um_to_mm(bar.facing_kerf_um),
        "pieces": [
            {
                "line": piece.line_id,
                "mark": piece.mark,
                "length_mm": um_to_mm(piece.length_um),
                "dial_mm": um_to_mm(piece.dial_um),
                "kerf_mm": um_to_mm(piece.kerf_um),
                "angle_a_deg": piece.angle_a_deg,
                "angle_b_deg": piece.angle_b_deg,
                "ends_in_vise": not piece.far_cut,
                "others": [{"line": one.line_id, "mark": one.mark} for one in piece.others],
            }
            for piece in bar.pieces
        ],
        "remnant_mm": um_to_mm(bar.remnant_um),
        "remnant_kept": bar.keep,
    }
