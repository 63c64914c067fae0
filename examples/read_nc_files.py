"""A structural part from an NC file: read, explained, and planned with its folder in one go."""

from pathlib import Path

from kerfsmith.exchange.nc.read import read_nc
from kerfsmith.wiring.plan_files import plan_files

PART = """ST
** a beam of 2 m, mitred at its end
  ORDER-1
  D-1
  1
  B1
  S355J2
  4
  HEA200
  I
  2000.00
  190.00
  200.00
  10.00
  6.50
  18.00
  42.30
  1.136
  0.000
  0.000
  0.000
  30.000




EN
"""
folder = Path("nc-parts")
folder.mkdir(exist_ok=True)
(folder / "b1.nc").write_text(PART)
part = read_nc("b1.nc", PART.encode())
assert part.header is not None
header = part.header
print(f"{header.piece}: {header.quantity} x {header.profile}, {header.length_mm:.0f} mm, {header.grade}")
print(f"ends: {header.flange_start_deg:g} and {header.flange_end_deg:g} degrees")
plan = plan_files(folder, None).plan
print(f"{plan.pieces_planned} of {plan.pieces_wanted} pieces on {plan.bars_used} bars")
