"""Both solvers load and solve in one process, whichever comes first: each carries a HiGHS of its own."""

import subprocess
import sys

import pytest

NESTING = "import highspy; highs = highspy.Highs(); highs.setOptionValue('output_flag', False); highs.run()"
SCHEDULING = (
    "from ortools.sat.python import cp_model; model = cp_model.CpModel(); x = model.new_int_var(0, 7, 'x'); "
    "model.maximize(x); solver = cp_model.CpSolver(); solver.solve(model); assert solver.value(x) == 7"
)


@pytest.mark.parametrize(
    "order", [(NESTING, SCHEDULING), (SCHEDULING, NESTING)], ids=["nesting", "scheduling"]
)
def test_both_solvers_live_in_one_process(order: tuple[str, str]) -> None:
    run = subprocess.run(
        [sys.executable, "-c", "\n".join(order)], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout == ""
