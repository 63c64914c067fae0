"""Kill -9 at random moments of write storms, again and again, on SQLite and on PostgreSQL.

A storm is a process in which panels record as fast as they can. What is answered is told to this process
through a pipe, whose content outlives the killed writer. Then the storm is killed without warning, and a
referee recounts the records: no answered event may be missing, no record be half there, every bar must add
up. The next storm begins where the panels were: each sends its first unanswered event again under the same
id, as a panel would.

On PostgreSQL every tenth storm has the server itself killed with all its processes first.

    python -m benchmarks.records.kill_storm [--storms 1000] [--seed 1] [sqlite] [postgresql]
"""

import argparse
import os
import random
import select
import signal
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from benchmarks.records.cluster import Cluster
from benchmarks.records.referee import faults
from benchmarks.records.storm_floor import build, event, never
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from kerfsmith.records.opening import make_engine, open_engine
from kerfsmith.records.store import Store
from kerfsmith.workflow.record_events import record_event
from kerfsmith.workflow.refusal import Refusal

PANELS = 3
LONGEST_S = 0.4
SERVER_KILLED_EACH = 10


@dataclass
class Tally:
    """What the storms came to."""

    storms: int = 0
    server_kills: int = 0
    acknowledged: int = 0
    resent_found_done: int = 0
    faults: list[str] = field(default_factory=list)
    seconds: float = 0.0


def storms(
    url: str, count: int, seed: int, kill_server: Callable[[], None] | None = None, *, each: int = 10
) -> Tally:
    """Run ``count`` storms on empty records at ``url``; ends at the first that leaves a fault."""
    chance = random.Random(seed)
    engine = open_engine(url)
    build(Store(engine), PANELS)
    engine.dispose()
    answered = dict.fromkeys(range(PANELS), 0)
    tally = Tally()
    began = time.monotonic()
    for number in range(count):
        server = kill_server if kill_server is not None and number % each == each - 1 else None
        before = dict(answered)
        _storm(url, answered, chance.uniform(0.0, LONGEST_S), server)
        tally.storms += 1
        tally.server_kills += server is not None
        tally.acknowledged += sum(answered.values()) - sum(before.values())
        tally.faults = _recount(url, answered, before, tally)
        if tally.faults:
            break
    tally.seconds = time.monotonic() - began
    return tally


def _storm(
    url: str, answered: dict[int, int], lasts_s: float, kill_server: Callable[[], None] | None
) -> None:
    """One storm: the writer is killed ``lasts_s`` after its first answer, or the server under it."""
    reading, writing = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reading)
        _write(url, answered, writing)
        os._exit(0)
    os.close(writing)
    select.select([reading], [], [], 30)
    time.sleep(lasts_s)
    if kill_server is not None:
        kill_server()
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    with os.fdopen(reading) as told:
        for line in told.read().splitlines():
            panel, number = map(int, line.split())
            answered[panel] = max(answered[panel], number)


def _write(url: str, answered: dict[int, int], writing: int) -> None:
    """The writer: panels recording until killed; each answer is told through the pipe in one piece."""
    store = Store(make_engine(url))

    def panel(which: int) -> None:
        number = answered[which]
        while True:
            number += 1
            try:
                answer = record_event(store, event(f"panel-{which}", which, number), never)
            except DBAPIError:
                return  # The server was killed under it, and soon this process will be.
            if isinstance(answer, Refusal):
                os.write(2, f"panel {which}, event {number}: {answer}\n".encode())
                os._exit(1)
            os.write(writing, f"{which} {number}\n".encode())

    threads = [threading.Thread(target=panel, args=(which,), daemon=True) for which in range(PANELS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def _recount(url: str, answered: dict[int, int], before: dict[int, int], tally: Tally) -> list[str]:
    acknowledged = [
        f"panel-{which}:{number}" for which, last in answered.items() for number in range(1, last + 1)
    ]
    engine = make_engine(url)
    try:
        with engine.connect() as connection:
            rows = connection.execute(text("SELECT panel, MAX(number) FROM panel_events GROUP BY panel"))
            highest: dict[str, int] = {row[0]: row[1] for row in rows}
            tally.resent_found_done += sum(
                highest.get(f"panel-{which}", 0) > last for which, last in answered.items()
            )
            found = faults(connection, acknowledged)
    finally:
        engine.dispose()
    if sum(answered.values()) == sum(before.values()):
        found.append("nothing was recorded in a storm")
    return found


def main() -> int:
    """Run the storms asked for and print what they came to."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("databases", nargs="*", default=["sqlite", "postgresql"])
    parser.add_argument("--storms", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    wish = parser.parse_args()
    failed = False
    for kind in wish.databases:
        if kind == "sqlite":
            with tempfile.TemporaryDirectory() as folder:
                tally = storms(f"sqlite:///{Path(folder) / 'storm.sqlite'}", wish.storms, wish.seed)
        else:
            cluster = Cluster()
            try:
                url = cluster.url(cluster.database())
                tally = storms(url, wish.storms, wish.seed, cluster.kill, each=SERVER_KILLED_EACH)
            finally:
                cluster.close()
        print(
            f"{kind}: {tally.storms} storms ({tally.server_kills} with the server killed), "
            f"{tally.acknowledged} events answered, {tally.resent_found_done} kept but not answered "
            f"and counted once, {len(tally.faults)} faults, {tally.seconds:.0f} s"
        )
        for fault in tally.faults:
            print(f"  {fault}")
        failed |= bool(tally.faults)
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
