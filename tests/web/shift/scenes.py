"""Every scene of the panel, reached by the verbs themselves: of bars cut alone and of bars cut at once."""

from collections.abc import Iterator
from typing import Any

from tests.web.shift.loads import RUN as LOADS
from tests.web.shift.loads import Named, with_loads
from tests.web.shift.shop import OPERATOR, PIN, ShiftShop

from kerfsmith.cutting.cautions import ALWAYS
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.shop.cut_log import EntryKind, ScrapReason
from kerfsmith.shop.inspection import InspectionKind
from kerfsmith.shop.person import HOUSE, Person, Role
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.units.told import Told
from kerfsmith.workflow.change_band import ChangeBand
from kerfsmith.workflow.change_run import ChangeRun
from kerfsmith.workflow.cut_load import BarCut, CutLoad
from kerfsmith.workflow.finish_bar import FinishBar
from kerfsmith.workflow.finish_load import FinishLoad
from kerfsmith.workflow.finish_run import FinishRun
from kerfsmith.workflow.inspect_piece import InspectPiece
from kerfsmith.workflow.keep_people import NewSecrets, add_person
from kerfsmith.workflow.load_bar import LoadBar
from kerfsmith.workflow.log_cut import LogCut
from kerfsmith.workflow.record_events import PanelVerb
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece
from kerfsmith.workflow.run_sheet import RunSheet, run_sheet
from kerfsmith.workflow.scrap_remnant import ScrapRemnant
from kerfsmith.workflow.stop_saw import ResumeSaw, StopSaw

LONG_PERSON = Person("Maximiliana Featherstonehaugh-Wolkenstein", Role.LEAD)
LONG_BADGE = "BADGE-0099"
LONG = Named(
    label="BAR-2026-0412-RIVERSIDE-000017",
    marks=("GIRDER-STIFFENER-2041-LEFT-HAND", "GIRDER-STIFFENER-2042-RIGHT-HAND", "BEARING-PLATE-BLANK-77"),
    place="HALL 4, RIVER SIDE, BAY 12, SHELF 3",
    customer="Upland and Riverside Bridge and Structural Fabrication Works",
    saw="Double-column saw at the river end of hall 4",
)
SAW, FIRST = "north", "r1"


def long_names(shop: ShiftShop) -> ShiftShop:
    """The run of loads with names as long as shops have them, and with the longest warnings of all tables."""
    told = [caution.text for texts in shop.catalog.hazard_texts.values() for caution in texts]
    longest = tuple(Told(text) for text in sorted(told, key=len, reverse=True)[:4])
    assert not set(longest) & set(ALWAYS)
    new = NewSecrets(pin=PIN, badge=LONG_BADGE)
    add_person(shop.store, shop.hasher, LONG_PERSON, new, by=HOUSE, at=shop.floor.now())
    named = Named(LONG.label, LONG.marks, LONG.place, LONG.customer, LONG.saw, longest)
    return with_loads(shop, named)


class Deeds:
    """What is done at the saw, told by nobody's browser; each deed is kept or the walk ends."""

    def __init__(self, shop: ShiftShop) -> None:
        self.shop, self.number = shop, 0

    def do(self, told: PanelVerb) -> Any:
        self.number += 1
        answer = self.shop.floor.do(told, form_id=f"walk-{self.number}", by=OPERATOR)
        assert not isinstance(answer, Refusal), answer
        return answer

    def sheet(self, run_id: str) -> RunSheet:
        with self.shop.store.look() as look:
            found = run_sheet(look, run_id)
        assert found is not None
        return found

    def lay(self, label: str, load_id: str, *bar_ids: str) -> None:
        for bar_id in bar_ids:
            self.do(LoadBar(bar_id, LOADS, label, load_id=load_id))

    def through(self, pass_id: str, kind: EntryKind = EntryKind.PIECE, scrap: str = "") -> Any:
        """The next pass; ``scrap`` names the bar whose piece is no good."""
        load = self.sheet(LOADS).loads[0]
        lines = {one.bar_id: one.piece.line_id for one in load.to_cut.passes[0].pieces}
        cuts = tuple(
            BarCut(
                one.at_saw.bar.id,
                f"{pass_id}-{one.at_saw.bar.id}",
                one.next_number,
                lines[one.at_saw.bar.id] if kind is EntryKind.PIECE else None,
                ScrapReason.ROUGH_FACE if one.at_saw.bar.id == scrap else None,
            )
            for one in load.bars
        )
        return self.do(CutLoad(pass_id, load.load.id, cuts, kind))

    def measure(self, cut_id: str, um: int) -> None:
        self.do(InspectPiece(f"m{self.number}-{cut_id}", cut_id, InspectionKind.FIRST_PIECE, um))

    def next_cut(self, bar_id: str) -> None:
        """The next piece of a bar that is cut alone."""
        (bar,) = (one for one in self.sheet(FIRST).bars if one.at_saw.bar.id == bar_id)
        kind = EntryKind.FACING if bar.facing_due else EntryKind.PIECE
        line = bar.still_to_cut[0].line_id if kind is EntryKind.PIECE else None
        self.do(LogCut(f"{bar_id}-{bar.next_number}", bar_id, bar.next_number, kind, line))

    def scrap_rests(self, run_id: str) -> None:
        for bar in self.sheet(run_id).bars:
            self.do(ScrapRemnant(bar.at_saw.bar.id))


def scenes_of_loads(shop: ShiftShop, label: str = "L-1") -> Iterator[str]:
    """The run of loads, stopped at each scene that it goes through."""
    deeds = Deeds(shop)
    yield "load"
    deeds.lay(label, "l1", "b1")
    yield "lay"
    deeds.do(StopSaw("s1", SAW, StopReason.CHIPS_OR_COOLANT, LOADS))
    yield "lay, the saw stands"
    deeds.lay(label, "l1", "b2", "b3")
    yield "pass, the saw stands"
    deeds.do(ResumeSaw(SAW))
    yield "pass, facing"
    deeds.through("p0", EntryKind.FACING)
    deeds.through("p1")
    yield "pass, first pieces due"
    for bar_id in ("b1", "b2"):
        deeds.measure(f"p1-{bar_id}", 500_100)
    deeds.measure("p1-b3", 501_900)
    yield "held"
    deeds.do(RejectPiece("x1", "p1-b3", ScrapReason.TOO_LONG))
    yield "pass, one piece is missing and others are doubtful"
    for number, bar_id in enumerate(("b1", "b2")):
        deeds.measure(f"p1-{bar_id}", 500_000 + number)
    deeds.through("p2")
    deeds.through("p3")
    yield "clear, one piece is missing"
    deeds.do(ChangeBand(SAW, "m8", None, RemovalReason.WORN))
    yield "band"
    deeds.do(ChangeBand(SAW, "m9", "S-2"))
    deeds.do(FinishLoad("l1"))
    yield "rest"
    deeds.scrap_rests(LOADS)
    yield "load, the second"
    deeds.lay(label, "l2", "b4", "b5", "b6")
    deeds.through("q0", EntryKind.FACING)
    for turn in (1, 2, 3):
        deeds.through(f"q{turn}")
    yield "clear"
    deeds.do(FinishLoad("l2"))
    deeds.scrap_rests(LOADS)
    yield "short"
    deeds.do(FinishRun(LOADS, "the customer takes one fewer"))
    yield "over"


def scenes_of_singles(shop: ShiftShop) -> Iterator[str]:
    """The first run, whose bars are cut alone, stopped at each scene that it goes through."""
    deeds = Deeds(shop)
    yield "load"
    bars = 0
    while (sheet := deeds.sheet(FIRST)).to_load:
        bars += 1
        waiting = sheet.to_load[0].planned
        bar_id = f"a{bars}"
        deeds.do(LoadBar(bar_id, FIRST, waiting.bar_id))
        if bars == 1:
            yield "cut, facing"
        turn = 0
        while (bar := next(one for one in deeds.sheet(FIRST).bars)).still_to_cut:
            turn += 1
            deeds.next_cut(bar_id)
            if bars == 1 and turn == 2:
                yield "cut, a first piece due"
        if bars == 1:
            yield "out"
        deeds.do(FinishBar(bar_id))
        if bar.at_saw.bar.left_um and bars == 1:
            yield "rest"
        deeds.scrap_rests(FIRST)
    yield "done"
    last = next(one for one in deeds.sheet(FIRST).closed if one.bar.id == "a1")
    with shop.store.look() as look:
        piece = next(one for one in look.floor.entries(last.bar.id) if one.kind is EntryKind.PIECE)
    deeds.do(RejectPiece("y1", piece.id, ScrapReason.DAMAGED))
    yield "short"
    deeds.do(ChangeRun(FIRST))
    yield "load, the missing piece"


FAULTS_OF_GLASS = """() => {
  const scrolls = '.wanted, .all-cautions, .table-scroll, .places, .notices, .out-note';
  const found = [], main = document.querySelector('main'), glass = main.getBoundingClientRect();
  const root = document.documentElement;
  if (root.scrollHeight > innerHeight || root.scrollWidth > innerWidth) found.push('the page scrolls');
  if (main.scrollHeight > main.clientHeight || main.scrollWidth > main.clientWidth) found.push(
    `the panel scrolls: ${main.scrollHeight} in ${main.clientHeight}`);
  const name = one => one.outerHTML.slice(0, 90);
  for (const one of document.querySelectorAll('body *')) {
    if (!one.checkVisibility() || one.closest('.skip, .out-of-sight')) continue;
    const box = one.getBoundingClientRect();
    if (!box.width || one.closest('svg') !== null || one.parentElement.closest(scrolls)) continue;
    const inMain = main.contains(one), low = inMain ? glass.bottom : innerHeight;
    const off = box.bottom > low + 1 || box.right > innerWidth + 1 || box.left < -1;
    if (off) found.push(`off the glass: ${name(one)}`);
    if (!one.matches('button, a, summary, input, select')) continue;
    if (one.matches('a') && !one.matches('.button, .run, .brand, nav a')) continue;
    if (box.height < 43.5 || box.width < 40) found.push(`too small for gloves: ${name(one)}`);
    const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
    for (const [px, py] of [[x, y], [x, box.top + 4], [x, box.bottom - 4]]) {
      const there = document.elementFromPoint(px, py);
      if (there && !one.contains(there) && !there.contains(one)) {
        found.push(`${name(one)} lies under ${name(there)}`);
        break;
      }
    }
  }
  return found;
}"""
"""What of a scene isn't whole on the glass: what scrolls, lies off it or under something, or is small.

Lists may scroll in their own boxes. WCAG 2.5.5 asks for targets of 44 px.
"""
