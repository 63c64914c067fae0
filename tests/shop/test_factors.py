"""Factors: the narrowest that fits counts, and the last decision holds."""

from datetime import UTC, datetime

import pytest

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.factors import (
    Decision,
    Factor,
    FactorDecided,
    Factors,
    Measure,
    Scope,
    in_force,
    scope_of,
)

AT = datetime(2026, 3, 2, tzinfo=UTC)
WORK = Scope("4140", "saw 1", "round", "27")


def _factor(value: float, scope: Scope, measure: Measure = Measure.CUT_TIME) -> Factor:
    return Factor(measure, scope, value, value * 0.9, value * 1.1, 20)


def test_the_narrowest_counts() -> None:
    wide, grade, saw = _factor(1.1, Scope()), _factor(1.2, Scope("4140")), _factor(1.3, Scope(saw="saw 1"))
    both = _factor(1.4, Scope("4140", "saw 1"))
    other = _factor(2.0, Scope("304", "saw 1", "round"))
    assert Factors((wide, grade, saw, both, other)).for_work(Measure.CUT_TIME, WORK) == both
    assert Factors((wide, grade, saw)).for_work(Measure.CUT_TIME, WORK) == grade
    assert Factors((wide, saw)).for_work(Measure.CUT_TIME, WORK) == saw
    assert Factors((other,)).for_work(Measure.CUT_TIME, WORK) is None
    assert Factors((wide,)).for_work(Measure.BAND_LIFE, WORK) is None


def test_the_last_decision_holds() -> None:
    scope = Scope("4140")

    def decided(decision: Decision, value: float | None) -> FactorDecided:
        factor = _factor(value, scope) if value else None
        return FactorDecided(Measure.CUT_TIME, scope, decision, factor, "P. Lead", AT)

    accepted, frozen = decided(Decision.ACCEPT, 1.1), decided(Decision.FREEZE, 1.2)
    assert in_force([accepted, frozen]).accepted == (_factor(1.2, scope),)
    assert in_force([accepted, frozen, decided(Decision.FORGET, None)]).accepted == ()


def test_scope_and_key_are_one() -> None:
    assert scope_of(WORK.key) == WORK
    assert scope_of(Scope().key) == Scope()
    with pytest.raises(InvalidValue):
        scope_of("4140")


def test_a_factor_lies_in_its_interval() -> None:
    with pytest.raises(InvalidValue):
        Factor(Measure.CUT_TIME, Scope(), 1.2, 1.3, 1.4, 3)
    with pytest.raises(InvalidValue):
        Factor(Measure.CUT_TIME, Scope(), 0.0, 0.0, 1.4, 3)
