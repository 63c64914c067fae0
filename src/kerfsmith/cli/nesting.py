"""`kerfsmith nest`."""

import json as json_text
import sys
import time
from decimal import Decimal
from pathlib import Path

from kerfsmith.cli.main import INPUT_AT_FAULT
from kerfsmith.cli.stopping import or_stopped, unreadable, until_stopped
from kerfsmith.nesting.contract import exit_code, nest


def run_nest(problem: str, seconds: float, seed: int, as_json: bool) -> int:
    """Read a problem from a file or standard input, solve it and print the result."""
    try:
        text = sys.stdin.read() if problem == "-" else Path(problem).read_text(encoding="utf-8")
        value = json_text.loads(text, parse_float=Decimal)
    except OSError as error:
        return unreadable(error)
    except ValueError as error:
        print(f"{problem}: isn't JSON ({error}); write one object as the README shows", file=sys.stderr)
        return INPUT_AT_FAULT
    with until_stopped() as wish:
        answer, result, findings = nest(
            value, seconds=seconds, seed=seed, now=time.monotonic, should_stop=wish.is_set
        )
    if as_json:
        print(json_text.dumps(answer, ensure_ascii=False))
    else:
        for finding in findings:
            print(finding, file=sys.stderr)
        _print_words(dict(answer))
    return or_stopped(exit_code(result), wish)


def _print_words(answer: dict[str, object]) -> None:
    print(f"{answer['status']}", end="")
    if answer.get("cost") is not None:
        print(f": cost {answer['cost']:g}, none can cost less than {answer['lower_bound']:g}", end="")
        print(f", {answer['bars_used']} bars, {answer['seconds']:.2f} s", end="")
    print()
    patterns = answer.get("patterns")
    for pattern in patterns if isinstance(patterns, list) else []:
        pieces = ", ".join(f"{piece['count']} x {piece['id']}" for piece in pattern["pieces"])
        print(f"  {pattern['times']:>4} x {pattern['bar']}: {pieces}; left {pattern['remnant_mm']:g} mm")
    reasons = answer.get("reasons")
    for reason in reasons if isinstance(reasons, list) else []:
        print(f"  {reason}")
