"""The main job from Python, as the README shows it."""

from pathlib import Path

from kerfsmith.wiring.demo_files import write_demo
from kerfsmith.wiring.plan_files import plan_files

write_demo(Path("try-it"))
plan = plan_files("try-it/order_book.csv", "try-it/rack.csv").plan
print(f"{plan.pieces_planned} of {plan.pieces_wanted} pieces on {plan.bars_used} bars")
for group in plan.groups[:3]:
    band = group.settings[0].band.id
    print(f"{group.grade} {group.section.name}: {group.saw_name}, {band}, {group.status}")
