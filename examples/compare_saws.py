"""The same work on two saws: hours, what each can't cut, and why."""

from pathlib import Path

from kerfsmith.costing.rates import Rates
from kerfsmith.wiring.comparing import compare_files
from kerfsmith.wiring.demo_files import write_demo

write_demo(Path("try-it"))
found = compare_files("try-it/order_book.csv", ("north", "yard"), Rates()).comparison
assert found is not None
for report in found.saws:
    year = report.year
    low, likely, high = year.hours()
    print(f"{year.saw.name}: {likely:.1f} h ({low:.1f} to {high:.1f}), {len(year.cannot)} lines it can't cut")
    for one in year.cannot[:2]:
        print(f"  {one.line.grade} {one.line.section.name}: {one.reason}")
