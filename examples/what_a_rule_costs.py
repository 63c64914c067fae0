"""What each rule of the shop costs on a plan: taken away in turn, or added."""

import time
from pathlib import Path

from kerfsmith.library.load import load_catalog
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.tasks import task_of
from kerfsmith.planning.what_if import what_if, without_substitutes
from kerfsmith.shop.rack import Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring.demo_files import write_demo
from kerfsmith.wiring.plan_files import plan_files
from kerfsmith.wiring.quoting import rack_bars

write_demo(Path("try-it"))
made = plan_files("try-it/order_book.csv", "try-it/rack.csv")
catalog = load_catalog()
rack = Rack(rack_bars(Path("try-it/rack.csv"), catalog, ShopRules(), None))
effort = Effort(5.0, 1, time.monotonic, lambda: False)
for name in ("4140 round 4 in", "S355J2 SHS 100x100x6"):
    group = next(group for group in made.plan.groups if group.material.name == name)
    task = task_of(group, made.order.lines, rack)
    assert task is not None
    print(name)
    for answer in (*without_substitutes(group), *what_if(task, group.saw, catalog, ShopRules(), effort)):
        more = (
            f"{answer.bars:+d} bars, {answer.cost:+.2f} {answer.cost_unit}"
            if answer.bars is not None
            else "no plan"
        )
        print(f"  {answer.change}: {more}")
