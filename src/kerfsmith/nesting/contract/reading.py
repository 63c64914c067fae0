"""From the JSON value of a nesting problem to a :class:`Problem`, with everything that can't be used as
findings.

Needed: ``kerf_mm``, ``bars`` (``id``, ``length_mm``) and ``pieces`` (``id``, ``length_mm``, ``count``).
Everything else may be absent and then asks for nothing.
"""

from collections.abc import Mapping
from decimal import ROUND_FLOOR, Decimal
from math import radians, tan

from kerfsmith.errors import Finding, InvalidValue
from kerfsmith.nesting.aims import Aim, Leftovers, Rates, SawTime, WorthStep
from kerfsmith.nesting.contract.fields import Fields, Findings, as_number
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import BarStock, FormerBars, Piece, Placed, Problem, Promise

STEEPEST_DEG = 80


def read_problem(value: object) -> tuple[Problem | None, tuple[Finding, ...]]:
    """The problem (None where anything in it can't be used) and the findings, errors and warnings alike."""
    findings = Findings()
    if not isinstance(value, Mapping):
        findings.error("not-an-object", "", value, "the problem isn't an object", "Write {...}")
        return None, tuple(findings.all)
    fields = Fields(value, "", findings)
    problem = _problem(fields, findings)
    fields.leftover()
    return problem, tuple(findings.all)


def _problem(fields: Fields, findings: Findings) -> Problem | None:
    kerf = fields.length_um("kerf_mm", None)
    trim = fields.length_um("front_trim_mm", 0)
    grip = fields.length_um("grip_mm", 0)
    depth = fields.length_um("depth_mm", 0)
    bars = fields.objects("bars", _bar, needed=True)
    pieces = fields.objects("pieces", lambda one: _piece(one, depth or 0), needed=True)
    leftovers, saw_time, rates = _leftovers(fields), _saw_time(fields, depth or 0), _rates(fields)
    bundle = fields.whole("bundle_most", 1, least=1)
    promises = fields.objects("promises", _promise, needed=False)
    former = fields.objects("former", _former, needed=False)
    changes = fields.whole_or_none("most_changes")
    turns = _turns(fields)
    aims = _aims(fields)
    one_heat = fields.texts("one_heat_orders") or ()
    _refuse_repeats(findings, "bars", [bar.id for bar in bars])
    _refuse_repeats(findings, "pieces", [piece.id for piece in pieces])
    if findings.has_error or kerf is None or trim is None or grip is None:
        return None
    try:
        return Problem(
            kerf, trim, grip, bars, pieces,
            depth_um=depth or 0, turns=turns, leftovers=leftovers, bundle_most=bundle or 1,
            saw_time=saw_time, rates=rates, one_heat_orders=frozenset(one_heat), promises=promises,
            former=former, most_changes=changes, aims=aims,
        )  # fmt: skip
    except InvalidValue as refused:
        findings.error("refused", "", None, str(refused), "Correct it")
        return None


def _refuse_repeats(findings: Findings, place: str, ids: list[str]) -> None:
    for index, name in enumerate(ids):
        if name in ids[:index]:
            findings.error("repeated", f"{place}[{index}].id", name, "is there twice", "Give each its own id")


def _bar(fields: Fields) -> BarStock | None:
    name = fields.text("id", None)
    length = fields.length_um("length_mm", None, ROUND_FLOOR, least=1)
    count = fields.whole_or_none("count")
    cost = (
        fields.millionths("cost", None if length is None else length * 1000) if length is not None else None
    )
    begun = fields.objects("begun", _placed, needed=False)
    heat, material = fields.text("heat", ""), fields.text("material", "")
    remnant, good = fields.flag("is_remnant"), fields.flag("end_is_good")
    if name is None or length is None or cost is None or heat is None or material is None:
        return None
    if begun and count != 1:
        fields.findings.error("begun", fields.where("count"), count, "a begun bar is one bar", "Write 1")
        return None
    return BarStock(
        name, length, count, cost,
        is_remnant=remnant, heat=heat, material=material, end_is_good=good, begun=begun,
    )  # fmt: skip


def _placed(fields: Fields) -> Placed | None:
    name = fields.text("id", None)
    turn = fields.text("turn", Turn.AS_IS.value)
    over = fields.length_um("over_mm", 0)
    if turn not in {t.value for t in Turn}:
        fields.findings.error("turn", fields.where("turn"), turn, "isn't a turn", "Write " + _any_of(Turn))
        return None
    return None if name is None or over is None else Placed(name, Turn(turn), over)


def _piece(fields: Fields, depth_um: int) -> Piece | None:
    name = fields.text("id", None)
    length = fields.length_um("length_mm", None, least=1)
    count = fields.whole("count", None)
    over = fields.length_um("over_mm", 0, ROUND_FLOOR)
    due = fields.whole_or_none("due_ms", most=10**12)
    order = fields.text("order", "")
    heats, materials = fields.texts("heats"), fields.texts("materials")
    ends = _ends(fields, depth_um)
    if name is None or length is None or count is None or over is None or order is None:
        return None
    if ends is None:
        return None
    try:
        return Piece(
            name, length, count, ends[0], ends[1], over, order, due,
            None if heats is None else frozenset(heats), ("",) if materials is None else materials,
        )  # fmt: skip
    except InvalidValue as refused:
        fields.findings.error("piece", fields.place, None, str(refused), "Correct it")
        return None


def _ends(fields: Fields, depth_um: int) -> tuple[int, int] | None:
    """Leans of the two ends from ``ends_deg``, the angles from square, above zero where the top is further
    along.
    """
    read = fields.raw("ends_deg")
    if read is None:
        return 0, 0
    angles = [as_number(angle) for angle in read] if isinstance(read, list) else []
    if len(angles) != 2 or any(angle is None or abs(angle) >= STEEPEST_DEG for angle in angles):
        remedy = f"Write two angles from square, each under {STEEPEST_DEG} degrees"
        fields.findings.error("ends", fields.where("ends_deg"), read, "aren't the two ends' angles", remedy)
        return None
    if any(angles) and not depth_um:
        remedy = "Write depth_mm, the section's size across the slant"
        fields.findings.error("ends", fields.where("ends_deg"), read, "needs the section's depth", remedy)
        return None
    return _lean_um(angles[0] or 0, depth_um), _lean_um(angles[1] or 0, depth_um)


def _leftovers(fields: Fields) -> Leftovers:
    least = fields.length_um("least_remnant_mm", 0)
    most = fields.whole_or_none("most_remnants")
    steps = fields.objects("remnant_worth", _worth_step, needed=False)
    try:
        return Leftovers(least or 0, steps, most)
    except InvalidValue as refused:
        fields.findings.error("worth", fields.where("remnant_worth"), None, str(refused), "Let it rise")
        return Leftovers()


def _worth_step(fields: Fields) -> WorthStep | None:
    start, worth = fields.length_um("from_mm", None), fields.millionths("per_metre", None)
    return None if start is None or worth is None else WorthStep(start, worth)


def _saw_time(fields: Fields, depth_um: int) -> SawTime:
    load = fields.whole("load_ms", 0, most=10**9)
    cuts = _cut_times(fields)
    slanted = fields.objects("slanted_cuts", lambda one: _slanted(one, depth_um), needed=False)
    try:
        return SawTime(load or 0, cuts or (0,), slanted=slanted)
    except InvalidValue as refused:
        fields.findings.error(
            "cut-time", fields.where("slanted_cuts"), None, str(refused), "Give each angle once"
        )
        return SawTime()


def _cut_times(fields: Fields) -> tuple[int, ...] | None:
    """Milliseconds of a cut through one bar, two, and so on; None where they aren't given or are wrong."""
    read = fields.raw("cut_ms")
    if read is None:
        return None
    cuts = [as_number(cut) for cut in read] if isinstance(read, list) else []
    if not cuts or any(cut is None or cut < 0 or cut != int(cut) for cut in cuts):
        problem = "isn't a list of whole milliseconds"
        fields.findings.error(
            "cut-time", fields.where("cut_ms"), read, problem, "Write [ms for 1 bar, for 2, ...]"
        )
        return None
    return tuple(int(cut or 0) for cut in cuts)


def _slanted(fields: Fields, depth_um: int) -> tuple[int, tuple[int, ...]] | None:
    """Cut times at one angle from square, ``angle_deg``, whichever way it leans."""
    angle = as_number(fields.raw("angle_deg"))
    cuts = _cut_times(fields)
    if angle is None or not 0 < angle < STEEPEST_DEG or cuts is None:
        remedy = f"Write angle_deg, above 0 and under {STEEPEST_DEG}, and cut_ms"
        fields.findings.error("cut-time", fields.place, None, "isn't an angle with its cut times", remedy)
        return None
    return _lean_um(angle, depth_um), cuts


def _lean_um(angle_deg: Decimal | int, depth_um: int) -> int:
    return round(depth_um * tan(radians(float(angle_deg))))


RATE_FIELDS = ("saw_per_second", "per_load", "per_remnant", "per_pattern", "per_late_piece")


def _rates(fields: Fields) -> Rates:
    read = fields.raw("rates")
    if read is None:
        return Rates()
    if not isinstance(read, Mapping):
        fields.findings.error("not-an-object", fields.where("rates"), read, "isn't an object", "Write {...}")
        return Rates()
    inner = Fields(read, fields.where("rates"), fields.findings)
    found = {name: inner.millionths(name, 0) or 0 for name in RATE_FIELDS}
    inner.leftover()
    return Rates(**found)


def _promise(fields: Fields) -> Promise | None:
    piece, bar, count = fields.text("piece", None), fields.text("bar", None), fields.whole("count", None)
    return None if piece is None or bar is None or count is None else Promise(piece, bar, count)


def _former(fields: Fields) -> FormerBars | None:
    bar, times = fields.text("bar", None), fields.whole("times", None, least=1)
    pieces = fields.objects("pieces", _counted, needed=True)
    return None if bar is None or times is None else FormerBars(bar, tuple(sorted(pieces)), times)


def _counted(fields: Fields) -> tuple[str, int] | None:
    name, count = fields.text("id", None), fields.whole("count", None, least=1)
    return None if name is None or count is None else (name, count)


def _turns(fields: Fields) -> frozenset[Turn]:
    names = fields.texts("turns") or ()
    for name in names:
        if name not in {turn.value for turn in Turn}:
            fields.findings.error(
                "turn", fields.where("turns"), name, "isn't a turn", "Write " + _any_of(Turn)
            )
            return frozenset({Turn.AS_IS})
    return frozenset({Turn.AS_IS, *(Turn(name) for name in names)})


def _aims(fields: Fields) -> tuple[Aim, ...]:
    names = fields.texts("aims")
    if names is None:
        return (Aim.COST,)
    if not names or len(set(names)) < len(names) or not set(names) <= {aim.value for aim in Aim}:
        fields.findings.error(
            "aims", fields.where("aims"), names, "aren't aims", "Write some of " + _any_of(Aim)
        )
        return (Aim.COST,)
    return tuple(Aim(name) for name in names)


def _any_of(choices: type[Aim] | type[Turn]) -> str:
    return ", ".join(choice.value for choice in choices)
