"""Forty panels over HTTP for a minute: errors, cuts lost or doubled, and how long each answer took.

Run: ``python -m benchmarks.records.panels_http [--panels 40] [--seconds 60] [--pace 1.0]``. The application
runs in a process of its own over a SQLite file. Each panel is signed in, loads bars, cuts them up piece by
piece, and gets its page back after a load and every ten seconds, as the panel's script asks for it. One event
in twenty is sent twice, as after an answer that got lost. Nothing outlives the run.
"""

import argparse
import http.client
import json
import multiprocessing
import random
import socket
import tempfile
import threading
import time
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from multiprocessing.connection import Connection
from pathlib import Path

import uvicorn
from tests.web.shift.shop import ShiftShop

from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.records.opening import open_engine
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import HOUSE, Person, Role
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run
from kerfsmith.shop.session import Session, SessionKind
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.keep_people import NewSecrets, add_person
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.sign_in import digest_of
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order

PIECE_UM, BAR_UM, ON_A_BAR, BARS = 100_000, 3_000_000, 25, 40
TWICE = 0.05
LOOK_S = 10.0
"""How often a panel's script looks whether something changed elsewhere."""


@dataclass
class Panel:
    """One panel: what it sent, how long each answer took, and what went wrong."""

    number: int
    port: int
    pace: float
    until: float
    seconds: list[float] = field(default_factory=list)
    looks: list[float] = field(default_factory=list)
    cuts: int = 0
    faults: list[str] = field(default_factory=list)
    events: int = 0

    def work(self) -> None:
        """Load, cut and scrap bars until the time is up."""
        chance = random.Random(self.number)
        key = digest_of(secret(self.number))
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        look_at = time.monotonic() + chance.random() * LOOK_S
        time.sleep(chance.random() * self.pace)
        for bar in range(BARS):
            bar_id = f"b{self.number}-{bar}"
            of_bar: dict[str, object] = {"bar_id": bar_id}
            told: list[tuple[str, dict[str, object]]] = [
                ("load bar", {**of_bar, "run_id": f"run-{self.number}", "label": f"L-{self.number}"})
            ]
            told += [("log cut", self._cut(bar_id, place)) for place in range(ON_A_BAR)]
            told += [("finish bar", of_bar), ("scrap remnant", of_bar)]
            for verb, fields in told:
                if time.monotonic() > self.until:
                    line.close()
                    return
                self._send(line, key, verb, fields, chance)
                if time.monotonic() > look_at:
                    self._look(line)
                    look_at = time.monotonic() + LOOK_S
                time.sleep(self.pace * (0.5 + chance.random()))

    def _cut(self, bar_id: str, place: int) -> dict[str, object]:
        return {
            "cut_id": f"{bar_id}-{place}",
            "bar_id": bar_id,
            "number": place + 1,
            "kind": "piece",
            "line_id": f"load-{self.number}:1",
        }

    def _look(self, line: http.client.HTTPConnection) -> None:
        """As the script does every so often, to hear what the office changed."""
        began = time.perf_counter()
        head = {"X-Panel": "part", "Cookie": f"session={secret(self.number)}"}
        line.close()  # The server ends lines that were idle for five seconds; a browser then opens another.
        line.request("GET", f"/at-saw/run/run-{self.number}", headers=head)
        answer = line.getresponse()
        answer.read()
        self.looks.append(time.perf_counter() - began)
        if answer.status != 200:
            self.faults.append(f"look: {answer.status}")

    def _send(
        self, line: http.client.HTTPConnection, key: str, verb: str, told: object, chance: random.Random
    ) -> None:
        self.events += 1
        event = {
            "id": f"p{self.number}-{self.events}",
            "number": self.events,
            "at": datetime.now(UTC).isoformat(),
            "key": key,
            "verb": verb,
            "told": told,
        }
        # After a plain cut the panel's script asks for no page: it knows as much itself.
        show = "" if verb == "log cut" else f"run-{self.number}"
        body = json.dumps({"panel": f"panel-{self.number}", "events": [event], "show": show})
        for _ in range(2 if chance.random() < TWICE else 1):
            began = time.perf_counter()
            line.close()
            head = {"Content-Type": "application/json", "Cookie": f"session={secret(self.number)}"}
            line.request("POST", "/at-saw/events", body, head)
            answer = line.getresponse()
            content = answer.read()
            self.seconds.append(time.perf_counter() - began)
            code = json.loads(content)["answers"][0]["code"] if answer.status == 200 else str(answer.status)
            if code:
                self.faults.append(f"{verb}: {code}")
        self.cuts += verb == "log cut" and not code


def secret(number: int) -> str:
    """The session secret of a panel."""
    return f"panel secret number {number}"


def fill(shop: ShiftShop, panels: int) -> None:
    """For each panel a rack entry, an order, a released run with a setting, and an open session."""
    store, at = shop.store, datetime.now(UTC)
    shop.fill()
    plan = store.latest_plan()
    assert plan is not None
    model = plan.groups[0]
    saws = shop.catalog.saws
    for saw in saws[:panels]:
        with store.look() as look:
            if look.crib.mounted(saw.id) is not None:
                continue
        label = f"load-{saw.id}"
        add_band(store, ThisBand(label, model.settings[0].band.id), by=HOUSE, at=at)
        on = change_band(store, ChangeBand(saw.id, f"on-{saw.id}", label), by=HOUSE, at=at)
        assert not isinstance(on, Refusal), on
    for number in range(panels):
        grade, section = model.grade, model.section
        stock_rack(
            store, (Bar(f"L-{number}", grade, section, BAR_UM, BARS, "H100"),), by=HOUSE, at=at, source="load"
        )
        line = OrderLine(f"load-{number}:1", "P", grade, section, PIECE_UM, BARS * ON_A_BAR)
        take_order(store, Order(f"l{number}", "Load", (line,)), by=HOUSE, at=at, source="load")
        saw = saws[number % len(saws)]
        group = replace(
            model, id=f"g{number}", saw=saw.id, saw_name=saw.name, bars=(_planned(number, model),)
        )
        made = plan_cuts(
            store,
            (),
            lambda _tasks, group=group: [(0, group)],  # type: ignore[misc]  # the loop's own group
            order_ids=[f"l{number}"],
            plan_id=f"q{number}",
            name="Load",
            seed=1,
            by=HOUSE,
            at=at,
        )
        assert isinstance(made, Plan)
        run = release_run(
            store, ReleaseRun(f"run-{number}", f"q{number}", group.id), saw=saw, by=HOUSE, at=at
        )
        assert isinstance(run, Run), run
        person = Person(f"Operator {number}", Role.OPERATOR)
        add_person(store, shop.hasher, person, NewSecrets(), by=HOUSE, at=at)
        session = Session(
            digest_of(secret(number)), person, SessionKind.PANEL, "load", at, at + timedelta(hours=1)
        )
        store.perform(lambda change, session=session: change.people.open_session(session))  # type: ignore[misc]


def _planned(number: int, model: PlanGroup) -> PlannedBar:
    kerf_um = model.bars[0].pieces[0].kerf_um
    piece = PlannedPiece(f"load-{number}:1", "P", PIECE_UM, kerf_um)
    return replace(
        model.bars[0],
        bar_id=f"L-{number}",
        length_um=BAR_UM,
        times=BARS,
        facing_um=0,
        facing_kerf_um=0,
        pieces=(piece,) * ON_A_BAR,
        remnant_um=BAR_UM - ON_A_BAR * piece.taken_um,
    )


def serve(folder: Path, port: int, ready: Connection) -> None:
    """The application in its own process."""
    shop = ShiftShop(folder)
    ready.send(True)
    uvicorn.run(shop.app, host="127.0.0.1", port=port, log_level="error")


def share(seconds: list[float], part: float) -> float:
    """The value below which ``part`` of the answers lie."""
    ordered = sorted(seconds)
    return ordered[min(len(ordered) - 1, int(part * len(ordered)))]


def main() -> int:
    """Run the panels, then hold what they sent against what the records have."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--panels", type=int, default=40)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--pace", type=float, default=1.0, help="mean seconds between two entries of a panel")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="kerfsmith-panels-") as folder:
        fill(ShiftShop(Path(folder)), asked.panels)
        panels, took = drive(Path(folder), asked.panels, asked.seconds, asked.pace)
        return report(Path(folder), panels, took)


def drive(folder: Path, count: int, seconds: float, pace: float) -> tuple[list[Panel], float]:
    """Serve, let all panels work at once, and end the server."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe()
    server = context.Process(target=serve, args=(folder, port, there), daemon=True)
    server.start()
    try:
        here.recv()
        _wait_for(port)
        began = time.monotonic()
        panels = [Panel(number, port, pace, began + seconds) for number in range(count)]
        threads = [threading.Thread(target=panel.work) for panel in panels]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        return panels, time.monotonic() - began
    finally:
        server.terminate()
        server.join(timeout=10)


def _wait_for(port: int) -> None:
    until = time.monotonic() + 30
    while time.monotonic() < until:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise TimeoutError("the application did not start")


def report(folder: Path, panels: list[Panel], took: float) -> int:
    """Say what was measured; 1 where anything was lost, doubled or refused."""
    store = Store(open_engine(f"sqlite:///{folder / 'shop.sqlite'}"))
    with store.look() as look:
        kept = {panel.number: look.floor.lines(f"run-{panel.number}")[0].good for panel in panels}
    seconds = [one for panel in panels for one in panel.seconds]
    looks = [one for panel in panels for one in panel.looks]
    faults = [fault for panel in panels for fault in panel.faults]
    wrong = [panel.number for panel in panels if kept[panel.number] != panel.cuts]
    cuts = sum(panel.cuts for panel in panels)
    print(
        f"{len(panels)} panels for {took:.1f} s: {len(seconds)} requests, {len(seconds) / took:.1f} a second"
    )
    print(f"cuts sent {cuts}, on record {sum(kept.values())}, panels that differ {wrong}")
    print(f"refused or failed {len(faults)} {sorted(set(faults))[:5]}")
    for name, part in (("median", 0.5), ("p95", 0.95), ("p99", 0.99), ("longest", 1.0)):
        record_ms, look_ms = (share(found, part) * 1000 for found in (seconds, looks))
        print(f"{name:8} {record_ms:7.1f} ms to record, {look_ms:7.1f} ms to look")
    return int(bool(faults or wrong))


if __name__ == "__main__":
    raise SystemExit(main())
