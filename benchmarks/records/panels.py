"""Forty panels recording at once for a minute, on SQLite and PostgreSQL: latencies, errors, and a recount.

Each panel has a saw of its own and records its events one after the other; with ``--every S`` it begins one
each ``S`` seconds (a cut takes longer than that), with 0 it sends as fast as it is answered. A tenth of the
events are sent twice, as after a lost answer. Latency is from asking to the answer.

    python -m benchmarks.records.panels [--panels 40] [--seconds 60] [--every 1] [sqlite] [postgresql]
"""

import argparse
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

from benchmarks.records.cluster import Cluster
from benchmarks.records.referee import faults
from benchmarks.records.storm_floor import build, event, never
from sqlalchemy import text

from kerfsmith.records.opening import make_engine, open_engine
from kerfsmith.records.store import Store
from kerfsmith.workflow.record_events import record_event
from kerfsmith.workflow.refusal import Refusal

TWICE_EACH = 10


@dataclass
class Measured:
    """What the panels came to. Latencies in seconds."""

    seconds: float = 0.0
    events: int = 0
    sent_twice: int = 0
    latencies_s: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def latency_ms(self, share: float) -> float:
        """The latency that this share of all answers kept under, ms."""
        ordered = sorted(self.latencies_s)
        return 1000.0 * ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def record(url: str, panels: int, seconds: float, every_s: float) -> Measured:
    """Let ``panels`` record for ``seconds`` on empty records at ``url``, then recount."""
    engine = open_engine(url)
    store = Store(engine)
    build(store, panels)
    measured, lock = Measured(), threading.Lock()
    start = threading.Barrier(panels)
    sent = dict.fromkeys(range(panels), 0)

    def panel(which: int) -> None:
        start.wait()
        began = time.monotonic()
        due, latencies, twice = began + every_s * which / panels, [], 0
        while (now := time.monotonic()) < began + seconds:
            if now < due:
                time.sleep(min(due - now, began + seconds - now))
                continue
            due += every_s
            one = event(f"panel-{which}", which, sent[which] + 1)
            repeat = one.mark.number % TWICE_EACH == 0
            for _ in range(1 + repeat):
                asked = time.monotonic()
                try:
                    answer = record_event(store, one, never)
                except Exception as error:
                    answer = Refusal("error", repr(error))
                latencies.append(time.monotonic() - asked)
                if isinstance(answer, Refusal):
                    with lock:
                        measured.errors.append(f"{one.mark.id}: {answer}")
                    return
            sent[which] += 1
            twice += repeat
        with lock:
            measured.latencies_s += latencies
            measured.sent_twice += twice

    threads = [threading.Thread(target=panel, args=(which,)) for which in range(panels)]
    began = time.monotonic()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    measured.seconds = time.monotonic() - began
    measured.events = sum(sent.values())
    engine.dispose()
    measured.faults = _recount(url, sent)
    return measured


def _recount(url: str, sent: dict[int, int]) -> list[str]:
    """The referee's faults, and every panel that hasn't exactly what it sent."""
    engine = make_engine(url)
    acknowledged = [
        f"panel-{which}:{number}" for which, last in sent.items() for number in range(1, last + 1)
    ]
    with engine.connect() as connection:
        found = faults(connection, acknowledged)
        rows = connection.execute(text("SELECT panel, COUNT(*) FROM panel_events GROUP BY panel")).all()
    engine.dispose()
    kept = {row[0]: row[1] for row in rows}
    for which, last in sent.items():
        if kept.get(f"panel-{which}", 0) != last:
            found.append(f"panel {which}: {last} sent, {kept.get(f'panel-{which}', 0)} kept")
    return found


def main() -> int:
    """Run what was asked for and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("databases", nargs="*", default=["sqlite", "postgresql"])
    parser.add_argument("--panels", type=int, default=40)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--every", type=float, default=1.0)
    wish = parser.parse_args()
    failed = False
    for kind in wish.databases:
        if kind == "sqlite":
            with tempfile.TemporaryDirectory() as folder:
                url = f"sqlite:///{Path(folder) / 'panels.sqlite'}"
                measured = record(url, wish.panels, wish.seconds, wish.every)
        else:
            cluster = Cluster()
            try:
                url = cluster.url(cluster.database())
                measured = record(url, wish.panels, wish.seconds, wish.every)
            finally:
                cluster.close()
        print(
            f"{kind}: {wish.panels} panels, {measured.seconds:.0f} s, {measured.events} events "
            f"({measured.events / measured.seconds:.0f}/s, {measured.sent_twice} sent twice); latency "
            f"p50 {measured.latency_ms(0.5):.0f} ms, p95 {measured.latency_ms(0.95):.0f} ms, "
            f"p99 {measured.latency_ms(0.99):.0f} ms, most {measured.latency_ms(1.0):.0f} ms; "
            f"{len(measured.errors)} errors, {len(measured.faults)} lost, doubled or wrong"
        )
        for fault in (*measured.errors[:5], *measured.faults[:5]):
            print(f"  {fault}")
        failed |= bool(measured.errors or measured.faults)
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
