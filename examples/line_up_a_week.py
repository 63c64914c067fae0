"""A cut list lined up over the shifts: what is cut where and when, and what comes late."""

from datetime import datetime
from pathlib import Path

from kerfsmith.scheduling.document import week_document
from kerfsmith.wiring.demo_files import write_demo
from kerfsmith.wiring.week_files import week_of_files

write_demo(Path("try-it"))
made = week_of_files(
    "try-it/order_book.csv",
    Path("try-it/rack.csv"),
    start=datetime.fromisoformat("2026-12-01T06:00"),
    seconds=60,
)
assert made.week is not None
document = week_document(made.week)
print(document["headline"])
for run in document["runs"][:4]:
    print(f"{run['begins']}: {run['saw']}, {run['run']}")
for late in document["late"][:2]:
    print(f"late: {late['run']}: {late['cause']}")
