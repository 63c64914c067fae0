"""Regression and analysis of variance against NIST's certified data sets, as the scipy wheel carries them."""

import re
from pathlib import Path

import pytest
import scipy

from kerfsmith.learning.charts.line_fit import differ, line_fit

DATA = Path(scipy.__file__).parent / "stats" / "tests" / "data"


def test_norris() -> None:
    """Source: NIST StRD, Norris.dat, certified values."""
    text = (DATA / "nist_linregress" / "Norris.dat").read_text(encoding="utf-8")
    rows = [line.split() for line in text.split("Data:       y          x")[1].splitlines() if line.strip()]
    line = line_fit([float(row[1]) for row in rows], [float(row[0]) for row in rows])
    assert line is not None
    assert line.count == 36
    assert line.level == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-13)
    assert line.level_se == pytest.approx(0.232818234301152, rel=1e-11)
    assert line.slope_se == pytest.approx(0.429796848199937e-3, rel=1e-11)
    assert line.scatter == pytest.approx(0.884796396144373, rel=1e-11)


@pytest.mark.parametrize(
    ("name", "digits"),
    # Seven leading digits in common, then thirteen: what a double holds of the data bounds the answer.
    [
        ("SiRstv", 9),
        ("AtmWtAg", 7),
        ("SmLs01", 12),
        ("SmLs02", 12),
        ("SmLs03", 12),
        ("SmLs04", 7),
        ("SmLs05", 7),
        ("SmLs06", 7),
        ("SmLs07", 2),
        ("SmLs08", 2),
        ("SmLs09", 2),
    ],
)
def test_certified_analysis_of_variance(name: str, digits: int) -> None:
    """Source: NIST StRD, analysis of variance, certified F."""
    text = (DATA / "nist_anova" / f"{name}.dat").read_text(encoding="utf-8")
    between, certified = re.findall(r"^Between \w+\s+(\d+).*?(\S+)$", text, re.MULTILINE)[0]
    rows = re.findall(r"^\s+(\d+)\s+([\d.]+)\s*$", text.split("Response")[-1], re.MULTILINE)
    groups: dict[str, list[float]] = {}
    for group, value in rows:
        groups.setdefault(group, []).append(float(value))
    found = differ(list(groups.values()))
    assert found is not None
    assert found.between == int(between)
    assert found.ratio == pytest.approx(float(certified), rel=10.0**-digits)


def test_too_little_to_judge() -> None:
    assert line_fit([1, 2], [1, 2]) is None
    assert line_fit([1, 1, 1], [1, 2, 3]) is None
    assert differ([[1.0, 2.0]]) is None
