"""`kerfsmith learned`: what it prints, decides and refuses."""

import json
from pathlib import Path
from typing import Any

import pytest
from tests.learning.test_observe import BEGAN, cut

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT, app
from kerfsmith.learning.log import SawnCut
from kerfsmith.shop.factors import Measure, Scope
from kerfsmith.shop.person import HOUSE
from kerfsmith.wiring.records import open_store
from kerfsmith.workflow.learn import bring_history


@pytest.fixture
def records(tmp_path: Path) -> str:
    path = str(tmp_path / "shop.sqlite")
    cuts: list[SawnCut] = [cut(place, took_s=120 * (1.2 + 0.01 * (place % 3))) for place in range(30)]
    bring_history(open_store(path), cuts, (), source="test", by=HOUSE, at=BEGAN)
    return path


def call(*words: str) -> int:
    code = app(["learned", *words], result_action="return_value", exit_on_error=False)
    assert isinstance(code, int)
    return code


def printed(capsys: pytest.CaptureFixture[str]) -> Any:
    return json.loads(capsys.readouterr().out)


def test_what_was_learned_is_printed_and_decided(records: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert call("--records", records, "--json") == DONE
    document = printed(capsys)
    assert document["in_plans"] == []
    times = {one["grade"]: one for one in document["learned"] if one["measure"] == "cut time"}
    assert times["4140"]["factor"] == pytest.approx(1.21, abs=0.01)
    assert times["4140"]["records"] == 30
    assert call("--records", records, "--decide", "accept", "--grade", "4140", "--json") == DONE
    assert [one["grade"] for one in printed(capsys)["in_plans"]] == ["4140"]
    factor = open_store(records).rules().factors.for_work(Measure.CUT_TIME, Scope("4140", "saw 1"))
    assert factor is not None
    assert factor.value == pytest.approx(1.21, abs=0.01)
    assert call("--records", records) == DONE
    assert "1.21" in capsys.readouterr().out
    assert call("--records", records, "--decide", "forget", "--grade", "4140", "--json") == DONE
    assert printed(capsys)["in_plans"] == []


def test_what_cannot_be_decided_says_why(records: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert call("--records", records, "--decide", "accept", "--grade", "304") == CANNOT
    assert "don't tell of this" in capsys.readouterr().err
    assert call("--records", records, "--decide", "adore") == INPUT_AT_FAULT
    assert call("--records", records, "--decide", "accept", "--measure", "weight") == INPUT_AT_FAULT
