"""What each rule of the shop costs on a plan: taken away in turn, or added."""

import time
from pathlib import Path

from kerfsmith.library.load import load_catalog
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import tasks_of
from kerfsmith.planning.what_if import what_if
from kerfsmith.shop.rack import Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring.demo_files import write_demo
from kerfsmith.wiring.plan_files import plan_files
from kerfsmith.wiring.quoting import rack_bars

write_demo(Path("try-it"))
made = plan_files("try-it/order_book.csv", "try-it/rack.csv")
catalog = load_catalog()
tasks = tasks_of(made.order.lines, Rack(rack_bars(Path("try-it/rack.csv"), catalog, ShopRules(), None)))
task = next(task for task in tasks if (task.work.grade, task.work.section.name) == ("4140", "round 4 in"))
for answer in what_if(task, "north", catalog, ShopRules(), Effort(5.0, 1, time.monotonic, lambda: False)):
    more = "no plan" if answer.bars is None else f"{answer.bars:+d} bars, {answer.cost:+.2f}"
    print(f"{answer.change}: {more} {answer.cost_unit}".rstrip())
