"""The main job from Python, as the README shows it."""

from kerfsmith.wiring.demo_files import write_demo
from kerfsmith.wiring.plan_files import plan_files
from pathlib import Path

write_demo(Path("try-it"))
plan = plan_files("try-it/order_book.csv", "try-it/rack.csv").plan
print(f"{plan.pieces_planned} of {plan.pieces_wanted} pieces on {plan.bars_used} bars, {plan.hours:.1f} saw hours")
for group in plan.groups[:3]:
    setting = group.settings[0]
    print(f"{group.grade} {group.section.name}: {group.saw_name}, {setting.band.id}, {group.bars_used} bars, {group.status}")
