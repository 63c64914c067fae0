"""Planted faults: the true cause is among the first three named.

Outside check: causes and their order are those of GW2019 p. 164 and OD1646 where those name them, common
practice elsewhere (``library/data/faults.toml`` tells which); the worlds are made without the clues.
"""

import pytest
from tests.faults.further import FURTHER
from tests.faults.planted import PLANTED
from tests.faults.world import Planted, case_of
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.faults.judge import likely_causes
from kerfsmith.faults.table import Symptom
from kerfsmith.library.faults import load_faults

TABLE = load_faults()


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def _place(fault: Planted, catalog: Catalog, **how: float) -> int:
    case = case_of(fault, catalog, **how)  # type: ignore[arg-type]  # seed is whole, untold a share
    named = [one.cause.name for one in likely_causes(fault.symptom, case, TABLE)]
    return named.index(fault.cause) + 1


@pytest.mark.parametrize("fault", [*PLANTED, *FURTHER], ids=lambda fault: f"{fault.symptom}: {fault.cause}")
def test_the_true_cause_is_among_the_first_three(fault: Planted, catalog: Catalog) -> None:
    assert _place(fault, catalog) <= 3


def test_most_are_named_first(catalog: Catalog) -> None:
    assert len(PLANTED) >= 30
    assert {fault.symptom for fault in PLANTED} == set(Symptom)
    for faults in (PLANTED, FURTHER):
        first = sum(_place(fault, catalog) == 1 for fault in faults)
        assert first / len(faults) >= 0.8


def test_with_a_third_untold_most_are_still_among_three(catalog: Catalog) -> None:
    faults = (*PLANTED, *FURTHER)
    places = [_place(fault, catalog, seed=seed, untold=1 / 3) for fault in faults for seed in range(1, 6)]
    assert sum(place <= 3 for place in places) / len(places) >= 0.9
