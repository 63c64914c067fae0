"""A fault at a saw that cuts several bars at once is judged by how many lie in the vise."""

from pathlib import Path

import pytest
from tests.web.shift.loads import RUN, with_loads
from tests.web.shift.places import copied
from tests.web.shift.shop import OPERATOR, ShiftShop

from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.kept import Fault
from kerfsmith.faults.table import Symptom
from kerfsmith.web.fault_stage import FaultTold
from kerfsmith.wiring.fault_stage import ShopFaultStage
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.take_out import TakeOut, take_out


@pytest.fixture
def shop(tmp_path: Path) -> ShiftShop:
    return with_loads(copied(tmp_path))


def why_loose(shop: ShiftShop) -> str:
    """What is told for loose work as the cause of stripped teeth."""
    told = FaultTold("north", Symptom.STRIPPED, Seen(), run_id=RUN)
    fault = ShopFaultStage(shop.store, lambda: shop.catalog).report(told, by=OPERATOR)
    assert isinstance(fault, Fault), fault
    return " ".join(str(text) for one in fault.named if one.cause == "work loose" for text in one.speaks_for)


def test_the_bars_of_the_load_in_the_saw_count(shop: ShiftShop) -> None:
    assert "at once" not in why_loose(shop)
    for bar_id in ("b1", "b2", "b3"):
        told = LoadBar(bar_id, RUN, "L-1", load_id="l1")
        load_bar(shop.store, told, by=OPERATOR, at=shop.floor.now())
    assert "3 bars were cut at once" in why_loose(shop)
    take_out(shop.store, TakeOut("b1"), by=OPERATOR, at=shop.floor.now())
    assert "2 bars were cut at once" in why_loose(shop)
