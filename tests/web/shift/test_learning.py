"""What was learned, and the charts: shown, decided by who may, used in plans, and told to other programs."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser
from tests.plans_here import PlansHere
from tests.web.access import faults_of_access
from tests.web.shift.places import BASE, HERE, copied
from tests.web.shift.serving import served_at
from tests.web.shift.shop import PASSWORD, ShiftShop

from kerfsmith.demo.history import demo_history
from kerfsmith.shop.factors import Measure, Scope
from kerfsmith.shop.person import HOUSE
from kerfsmith.web.app import create_app
from kerfsmith.web.backstage import CutQuestion
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.learning_stage import ShopLearningStage
from kerfsmith.workflow.learn import bring_history

SHOWN = (
    "/learned",
    "/charts",
    "/charts?saw=north&of=squareness",
    "/charts?saw=north&of=length&by=row&spread=range",
    "/charts?saw=north&of=motor+load",
)


def backstage_of(shop: ShiftShop) -> ShopBackstage:
    """What is behind the pages of plan and cut."""
    return ShopBackstage(shop.store, shop.catalog, PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in


def app_of(shop: ShiftShop) -> FastAPI:
    """The shop's face with the pages of learning."""
    stage = ShopLearningStage(shop.store, lambda: shop.catalog)
    return create_app(backstage_of(shop), shop.floor, stages=Stages(learning=stage))


@contextmanager
def entered(shop: ShiftShop, name: str) -> Iterator[TestClient]:
    """Somebody at this machine, signed in."""
    made = TestClient(app_of(shop), base_url=BASE, client=HERE, follow_redirects=False)
    with made:
        assert made.post("/sign-in", data={"name": name, "password": PASSWORD}).status_code == 303
        yield made


@pytest.fixture
def shop(tmp_path: Path) -> ShiftShop:
    """The shift's shop with eight invented weeks of its plan's work, half of them still to come: what is
    forgotten now leaves something to learn from.
    """
    at = datetime.now(UTC) + timedelta(weeks=4)
    made = copied(tmp_path)
    plan = made.store.latest_plan()
    assert plan is not None
    history = demo_history(plan.groups, at, seed=7)
    bring_history(
        made.store,
        history.cuts,
        history.stays,
        source="test",
        by=HOUSE,
        at=at,
    )
    return made


def test_nothing_learned_says_so(tmp_path: Path) -> None:
    with entered(copied(tmp_path), "Pia") as pia:
        assert "Nothing is learned yet" in pia.get("/learned").text
        assert "Nothing was measured yet" in pia.get("/charts").text
        assert pia.get("/charts?saw=moon").status_code == 404


def test_a_factor_is_accepted_and_changes_one_cut_and_says_why(shop: ShiftShop) -> None:
    stage = ShopLearningStage(shop.store, lambda: shop.catalog)
    factor = stage.lessons().factor(Measure.CUT_TIME, Scope())
    assert factor is not None
    question = CutQuestion("4140", "round 100 mm", saw="north")
    published = backstage_of(shop).cut(question).alternatives[0]
    with entered(shop, "Pia") as pia:
        page = pia.get("/learned").text
        assert f"<strong>{factor.value:.2f}</strong>" in page
        assert "No factor is in plans" in page
        told = {"measure": "cut time", "scope": Scope().key, "decision": "accept"}
        assert pia.post("/learned", data=told).status_code == 303
        assert "1 factor is in plans" in pia.get("/learned").text
        cut = pia.get("/cut?grade=4140&section=round+100+mm&saw=north").text
        assert f"× the published figure ({factor.low:.2f} to {factor.high:.2f})" in cut
    learned = backstage_of(shop).cut(question).alternatives[0]
    assert learned.cut_seconds == pytest.approx(factor.value * published.cut_seconds)
    assert learned.published_seconds == pytest.approx(published.cut_seconds)
    with entered(shop, "Pia") as pia:
        assert pia.post("/learned", data={**told, "decision": "forget"}).status_code == 303
        assert "forgotten" in pia.get("/learned").text
    assert backstage_of(shop).cut(question).alternatives[0] == published


def test_who_cuts_may_look_but_not_decide(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        page = omar.get("/learned").text
        assert 'name="decision"' not in page
        told = {"measure": "cut time", "scope": Scope().key, "decision": "accept"}
        assert omar.post("/learned", data=told).status_code == 403
    assert shop.store.rules().factors.accepted == ()
    with entered(shop, "Pia") as pia:
        for wrong in ({"measure": "weight"}, {"scope": "4140"}, {"decision": "follow"}):
            assert pia.post("/learned", data={**told, **wrong}).status_code == 422
        unknown = pia.post("/learned", data={**told, "scope": Scope("Unobtainium").key})
        assert unknown.status_code == 409
        assert "don&#39;t tell of this" in unknown.text


def test_the_charts_say_what_moved_since_when_and_what_else_changed(shop: ShiftShop) -> None:
    with entered(shop, "Pia") as pia:
        page = pia.get("/charts").text
        assert "Has moved by +0." in page
        assert "band: H-1-1 to H-1-2" in page
        assert "<dd>H-1-2</dd>" in page
        assert "Against the tolerance sold" in page
        assert "⟨" not in page
        pia.cookies.set("measure", "inch")
        assert "Has moved by +0.0" in pia.get("/charts").text
        assert " mm" not in pia.get("/charts").text.split("What moved</h2>")[1].split("</section>")[0]


def test_subgroups_have_limits_that_say_why_and_a_table(shop: ShiftShop) -> None:
    """Source: A2 = 0.577 and D4 = 2.114 for five, Montgomery, appendix VI (memory, good)."""
    with entered(shop, "Pia") as pia:
        page = pia.get("/charts?saw=north&of=length&by=row&spread=range").text
        for words in ("In subgroups", "Why these limits?", "A2 0.5768", "Every subgroup as a table"):
            assert words in page
        told = pia.get("/api/charts/north/length/subgroups?by=row&spread=range").json()
        assert told["factors"]["5"]["of_means"] == pytest.approx(0.577, abs=1e-3)
        groups = told["subgroups"]
        first = groups[:25]
        centre = sum(one["mean"] for one in first) / len(first)
        mean_range = sum(one["spread"] for one in first) / len(first)
        assert groups[0]["mean_limits"][2] == pytest.approx(centre + 0.577 * mean_range, rel=2e-3)
        assert groups[0]["spread_limits"][2] == pytest.approx(2.114 * mean_range, rel=2e-3)
        assert any(signal["of"] == "mean" for signal in told["signals"])
        assert pia.get("/api/charts/north/motor load/subgroups").status_code == 404
        assert pia.get("/charts?by=week").status_code == 404
        assert "In subgroups" not in pia.get("/charts?saw=north&of=motor+load").text


def test_other_programs_read_and_decide(shop: ShiftShop) -> None:
    with entered(shop, "Pia") as pia:
        read = pia.get("/api/learned").json()
        first = read["learned"][0]
        assert (first["measure"], first["records"]) == ("cut time", pytest.approx(130, abs=3))
        assert read["in_plans"] == []
        assert [(one["saw"], one["began"]) for one in read["times_noted"]] == [("north", 130)]
        answer = pia.post("/api/learned", json={"measure": "cut time", "decision": "freeze"})
        assert answer.status_code == 200
        assert answer.json()["factor"]["frozen"] is True
        assert len(pia.get("/api/learned").json()["in_plans"]) == 1
        assert pia.post("/api/learned", json={"measure": "cut time", "decision": "follow"}).status_code == 422
        refused = pia.post("/api/learned", json={"measure": "cut time", "decision": "accept", "grade": "?"})
        assert refused.status_code == 409
        charts = pia.get("/api/charts").json()["charts"]
        moved = [one for one in charts for alarm in one["alarms"] if alarm["lasts"]]
        assert "length" in {one["figure"] for one in moved}
        chart = pia.get("/api/charts/north/length").json()
        assert len(chart["values"]) == chart["count"] == 130
        assert chart["capability"]["cpk"][0] < chart["capability"]["cpk"][1]
        assert pia.get("/api/charts/moon/length").status_code == 404


def test_the_history_is_the_same_for_the_same_seed(shop: ShiftShop) -> None:
    plan = shop.store.latest_plan()
    assert plan is not None
    at = datetime(2026, 11, 30, tzinfo=UTC)
    assert demo_history(plan.groups, at, 7) == demo_history(plan.groups, at, 7)
    assert demo_history(plan.groups, at, 7) != demo_history(plan.groups, at, 8)


@pytest.mark.browser
def test_axe_finds_nothing_and_buttons_suit_a_glove(browser: Browser, shop: ShiftShop) -> None:
    with entered(shop, "Pia") as pia:
        secret = pia.cookies["session"]
    with served_at(app_of(shop)) as base:
        context = browser.new_context(viewport={"width": 1024, "height": 600}, bypass_csp=True)
        context.add_cookies([{"name": "session", "value": secret, "url": base}])
        page = context.new_page()
        for path in SHOWN:
            page.goto(base + path)
            assert faults_of_access(page) == [], path
            width = page.evaluate("document.documentElement.scrollWidth")
            assert width <= 1024, path
            small = page.evaluate(
                "[...document.querySelectorAll('main button, .figure-pick a')]"
                ".filter(one => one.checkVisibility() && one.getBoundingClientRect().height < 44).length"
            )
            assert small == 0, path
        context.close()
