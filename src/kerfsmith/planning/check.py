"""The plan's referee: knows the orders, the rack and the rules, and nothing of how the plan was made."""

from collections import Counter
from collections.abc import Container, Iterable, Mapping

from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import BarKind, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import mm_to_um


def faults(
    plan: Plan,
    lines: Iterable[OrderLine],
    rack: Rack,
    grips_mm: Mapping[str, float],
    rules: ShopRules | None = None,
) -> tuple[str, ...]:
    """Everything wrong with ``plan``, nothing for a sound one. ``grips_mm`` is each saw's least grip;
    ``rules`` are the shop's own, where it is to be held to what they say of bars at once.

    Recounted from scratch: every piece once, no bar used more often than it is there, every length and angle
    that of its line, every bar its parts, the grip left in the vise or a last piece that is a good end, whole
    loads of square pieces with a setting for them, one grade and section a group that each of its lines
    allows, every substitute told, and no cost below the bound.
    """
    by_id = {line.id: line for line in lines}
    found: list[str] = []
    found += _pieces(plan, by_id)
    found += _bars(plan, rack)
    good_ends = {bar.id for bar in rack.bars if bar.end_is_good}
    for group in plan.groups:
        found += _group(group, by_id, grips_mm, good_ends)
        found += _loads(group, by_id, rules) if rules else ()
        found += _substituted(group, by_id)
    return tuple(found)


def _pieces(plan: Plan, by_id: Mapping[str, OrderLine]) -> list[str]:
    counted = Counter[str]()
    for group in plan.groups:
        for bar in group.bars:
            for piece, count in bar.each_piece():
                counted[piece.line_id] += count
        for missing in group.unplanned:
            counted[missing.line_id] += missing.count
    wrong = [f"line {name} isn't on the order" for name in counted.keys() - by_id.keys()]
    for line in by_id.values():
        if counted[line.id] != line.quantity:
            wrong.append(f"line {line.id}: {line.quantity} wanted, {counted[line.id]} accounted for")
    return wrong


def _bars(plan: Plan, rack: Rack) -> list[str]:
    taken = Counter[str]()
    for group in plan.groups:
        for bar in group.bars:
            if bar.kind is not BarKind.TO_BUY:
                taken[bar.bar_id] += bar.times
    stock = {bar.id: bar.count for bar in rack.bars}
    wrong = [f"bar {name} isn't on the rack" for name in taken.keys() - stock.keys()]
    for name, times in taken.items():
        count = stock.get(name)
        if count is not None and times > count:
            wrong.append(f"bar {name}: {times} taken of {count}")
    return wrong


def _group(
    group: PlanGroup, by_id: Mapping[str, OrderLine], grips_mm: Mapping[str, float], good_ends: Container[str]
) -> list[str]:
    wrong = []
    if group.lower_bound > group.cost * (1 + 1e-12):
        wrong.append(f"group {group.id}: bound {group.lower_bound} above cost {group.cost}")
    angles = {setting.angle_deg for setting in group.settings}
    for bar in group.bars:
        grip_um, is_good = mm_to_um(grips_mm[group.saw]), bar.bar_id in good_ends
        wrong += [f"group {group.id}: {fault}" for fault in _bar(bar, grip_um, is_good)]
        wrong += [f"group {group.id}: {fault}" for fault in _bundle(bar, group)]
        for piece, _ in bar.each_piece():
            line = by_id.get(piece.line_id)
            if line is not None and not _matches(piece, line, group):
                wrong.append(f"group {group.id}: piece {piece.mark} isn't what line {line.id} asks for")
            if not {abs(piece.angle_a_deg), abs(piece.angle_b_deg)} <= angles:
                wrong.append(f"group {group.id}: no setting for the ends of {piece.mark}")
    return wrong


def _bar(bar: PlannedBar, grip_um: int, end_is_good: bool) -> list[str]:
    parts = bar.facing_um + bar.facing_kerf_um + bar.remnant_um
    parts += sum(piece.length_um + piece.kerf_um - piece.lap_um for piece in bar.pieces)
    # Bars are booked with nominal lengths; what pieces are dialled over them, the remnant gives.
    left_um = bar.left_um
    wrong = []
    if parts != bar.length_um:
        wrong.append(f"bar {bar.bar_id}: parts make {parts} of {bar.length_um} um")
    if bar.ends_in_vise:
        wrong += _end_in_vise(bar, grip_um, end_is_good)
    elif left_um < grip_um:
        wrong.append(f"bar {bar.bar_id}: {left_um} um are left, the vise needs {grip_um}")
    if (
        min(
            bar.facing_um,
            bar.facing_kerf_um,
            bar.remnant_um,
            *(min(piece.kerf_um, piece.lap_um) for piece in bar.pieces),
        )
        < 0
    ):
        wrong.append(f"bar {bar.bar_id}: a part is below zero")
    wrong += [
        f"bar {bar.bar_id}: {piece.mark} is square and laps the piece before it"
        for before, piece in zip((None, *bar.pieces), bar.pieces, strict=False)
        if piece.lap_um and not (piece.is_mitred and before is not None and before.is_mitred)
    ]
    return wrong


def _end_in_vise(bar: PlannedBar, grip_um: int, end_is_good: bool) -> list[str]:
    """What is wrong with a last piece that is the bar's own end."""
    last, wrong = bar.pieces[-1], []
    if bar.left_um:
        wrong.append(f"bar {bar.bar_id}: {last.mark} is to be its end, {bar.left_um} um off it")
    if grip_um and (not end_is_good or last.dial_um < grip_um):
        wrong.append(f"bar {bar.bar_id}: {last.mark} can't be what is left in the vise")
    if last.ends_deg[1]:
        wrong.append(f"bar {bar.bar_id}: {last.mark} has a mitred end where the bar's own is square")
    if bar.keep:
        wrong.append(f"bar {bar.bar_id}: it ends with {last.mark}, and nothing is left to keep")
    return wrong


def _loads(group: PlanGroup, by_id: Mapping[str, OrderLine], rules: ShopRules) -> list[str]:
    """What of a group's loads the shop's rules forbid."""
    wrong = []
    for bar in group.bars:
        if bar.at_once > rules.most_at_once:
            wrong.append(f"bar {bar.bar_id}: {bar.at_once} at once, the shop allows {rules.most_at_once}")
        for piece, _ in bar.each_piece() if bar.at_once > 1 else ():
            line = by_id.get(piece.line_id)
            if line is None or line.plus_um is None or line.minus_um is None:
                continue
            if line.plus_um + line.minus_um < 2 * rules.bundle_tolerance_um:
                wrong.append(f"bar {bar.bar_id}: {piece.mark} is too close for bars at once")
    return [f"group {group.id}: {fault}" for fault in wrong]


def _bundle(bar: PlannedBar, group: PlanGroup) -> list[str]:
    """What is wrong with bars cut at once: whole loads, square ends, a setting for just so many."""
    wrong = []
    if bar.at_once < 1 or bar.times % bar.at_once:
        return [f"bar {bar.bar_id}: {bar.times} bars don't make loads of {bar.at_once}"]
    if bar.at_once == 1:
        return []
    if any(piece.is_mitred for piece in bar.pieces):
        wrong.append(f"bar {bar.bar_id}: a mitred piece lies in a bundle")
    square = group.settings[0]
    setting = next((one for one in group.bundle_settings if one.bundle == bar.at_once), None)
    if setting is None or setting.angle_deg:
        wrong.append(f"bar {bar.bar_id}: no setting for {bar.at_once} at once")
    elif (setting.saw, setting.band.id, setting.kerf_um) != (square.saw, square.band.id, square.kerf_um):
        wrong.append(f"bar {bar.bar_id}: {bar.at_once} at once are set for another saw or band")
    return wrong


def _matches(piece: PlannedPiece, line: OrderLine, group: PlanGroup) -> bool:
    return (
        piece.length_um == line.length_um
        and _is_aimed(piece, line)
        and piece.angle_a_deg == line.angle_a_deg
        and piece.angle_b_deg == line.angle_b_deg
        and group.material in line.materials
    )


def _substituted(group: PlanGroup, by_id: Mapping[str, OrderLine]) -> list[str]:
    """Whether the group tells exactly the pieces that weren't ordered in its grade and section."""
    cut, told = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    for bar in group.bars:
        for piece, count in bar.each_piece():
            line = by_id.get(piece.line_id)
            if line is not None and line.material != group.material:
                cut[line.id, line.material.key] += count
    for one in group.substituted:
        told[one.line_id, one.ordered.key] += one.count
    return [
        f"group {group.id}: {cut[line_id, key]} of line {line_id} are substitutes for {key}, "
        f"{told[line_id, key]} are told"
        for line_id, key in sorted(cut.keys() | told.keys())
        if cut[line_id, key] != told[line_id, key]
    ]


def _is_aimed(piece: PlannedPiece, line: OrderLine) -> bool:
    """Whether what is dialled in lies within the tolerance, where that is stated."""
    too_long = line.plus_um is not None and piece.over_um > line.plus_um
    too_short = line.minus_um is not None and piece.over_um < -line.minus_um
    return not (too_long or too_short)
