"""NC files for the tests: the public samples, and small ones written line by line."""

from collections.abc import Mapping
from pathlib import Path

SAMPLES = Path(__file__).parent / "data" / "dstv"

PLAIN = {
    "order": "J-100",
    "drawing": "D1",
    "phase": "1",
    "piece": "P1",
    "grade": "S235JR",
    "quantity": "2",
    "profile": "HEA200",
    "code": "I",
    "length": "3000.00",
    "height": "190.00",
    "flange width": "200.00",
    "flange thickness": "10.00",
    "web thickness": "6.50",
    "radius": "18.00",
    "weight": "42.3",
    "paint": "1.136",
    "web cut start": "0.000",
    "web cut end": "0.000",
    "flange cut start": "0.000",
    "flange cut end": "0.000",
    "text 1": "",
    "text 2": "",
    "text 3": "",
    "text 4": "",
}


def nc_file(changes: Mapping[str, str] | None = None, blocks: str = "", *, newline: str = "\n") -> bytes:
    """An NC file of one HEA 200, with some header lines changed and blocks put in."""
    lines = ["ST", "** a comment", *(f"  {value}" for value in (PLAIN | dict(changes or {})).values())]
    lines += [*blocks.splitlines(), "EN", ""]
    return newline.join(lines).encode()


def contour(face: str, *points: tuple[float, float]) -> str:
    """An AK block of straight edges, closed."""
    rows = [f"  {face} {x:10.2f}u {y:10.2f} 0.00" for x, y in (*points, points[0])]
    return "\n".join(["AK", *rows])
