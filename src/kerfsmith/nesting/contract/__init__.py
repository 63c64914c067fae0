"""The bare nesting problem and its result as JSON values, and the one call from the first to the second."""

from collections.abc import Mapping
from typing import Any

from kerfsmith.errors import Finding
from kerfsmith.nesting.contract.reading import read_problem
from kerfsmith.nesting.contract.writing import result_json
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Clock, OnProgress, ShouldStop, never_stop, tell_nobody

__all__ = ["nest", "read_problem", "result_json"]


def nest(
    problem: object,
    *,
    seconds: float,
    seed: int,
    now: Clock,
    should_stop: ShouldStop = never_stop,
    on_progress: OnProgress = tell_nobody,
) -> tuple[Mapping[str, Any], Result | None, tuple[Finding, ...]]:
    """Solve a problem given as the value of its JSON text (numbers as int, float or Decimal).

    Returns the result as a JSON value, the result itself and what was found wrong with the problem. Where a
    finding is an error nothing is solved: the JSON value then holds the findings only and the result is None.
    """
    read, findings = read_problem(problem)
    if read is None:
        return {"status": "invalid", "findings": [_finding_json(f) for f in findings]}, None, findings
    result = solve(
        read, seconds=seconds, seed=seed, now=now, should_stop=should_stop, on_progress=on_progress
    )
    written = result_json(read, result)
    if findings:
        written["findings"] = [_finding_json(finding) for finding in findings]
    return written, result, findings


def exit_code(result: Result | None) -> int:
    """0 for a plan, 1 where the work can't be done, 2 where the problem was at fault."""
    if result is None:
        return 2
    return 0 if result.status in (Status.OPTIMAL, Status.FEASIBLE) else 1


def _finding_json(finding: Finding) -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "field": finding.field,
        "read": finding.read,
        "problem": finding.problem,
        "remedy": finding.remedy,
    }
