"""Every page of the whole application with something on it, and the words on it that are a person's own."""

import dataclasses
import re
import time
from collections.abc import Iterator, Mapping
from enum import Enum
from importlib import resources
from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from tests.exchange.drawings import beam, drawing, with_a_gap
from tests.exchange.nc_files import nc_file
from tests.web.shift.forms import press
from tests.web.shift.loads import RUN, with_loads
from tests.web.shift.places import BASE, HERE, copied
from tests.web.shift.shop import PlansHere

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.records.store import Store
from kerfsmith.units.told import Told
from kerfsmith.wiring.application import build_application

LIST = (
    b"Mark;Grade;Section;Length mm;Qty\n"
    b"Arm;1045;round 100 mm;250;6\nPin;1045;round 80 mm;120,5;4\nFar;1045;round 900 mm;300;1\n"
)
YEARLY = (
    b"Mark;Grade;Section;Length mm;Pieces a year;Lot\n"
    b"Arm;1045;round 100 mm;250;600;20\nDrum;1045;round 400 mm;300;24;4\n"
)
FAULTY = resources.files("kerfsmith.demo").joinpath("faulty_list.csv").read_bytes()
CROOKED = {
    "symptom": "crooked",
    "saw": "north",
    "grade": "C45",
    "section": "round 100 mm",
    "chips": "thick and blue",
    "pieces_cut": "40",
}
WORD = re.compile(r"[A-Za-z]{3,}")


class PlansHereOnly(PlansHere):
    """The pool without processes, which has nothing to end."""

    def close(self) -> None:
        """Nothing runs."""


def whole(folder: Path) -> tuple[FastAPI, Store]:
    """The whole application over the demo with a run of loads."""
    shop = with_loads(copied(folder, demo=True, people=False))
    app = build_application(str(folder / "shop.sqlite"), pool=PlansHereOnly(shop.catalog))  # type: ignore[arg-type]  # stand-in
    return app, shop.store


def lead_of(app: FastAPI) -> TestClient:
    """Whoever sits at this machine, where nobody is on record."""
    return TestClient(app, base_url=BASE, client=HERE, follow_redirects=False)


def worked(lead: TestClient, store: Store) -> list[str]:
    """The paths of all pages, after a day on which everything was done once."""
    press(lead, "load bar", label="A-1")
    press(lead, "log cut")
    press(lead, "log cut")
    fault = _sent(lead, "/faults", data=CROOKED)
    drawn = _sent(lead, "/drawings", files={"file": ("rail 7.dxf", drawing(beam(200, 100, 5.6, 8.5, 12)))})
    nc = _sent(lead, "/uploads", data={"kind": "order"}, files={"file": ("p.nc1", nc_file())})
    amiss = _sent(lead, "/uploads", data={"kind": "order"}, files={"file": ("faulty.csv", FAULTY)})
    gap = _sent(lead, "/drawings", files={"file": ("gap.dxf", drawing(with_a_gap))})
    held = _sent(lead, "/quotes/read", files={"file": ("list.csv", LIST)})
    upload = held.split("upload=")[1].split("&")[0]
    terms = {"upload": upload, "customer": "Weir works", "valid_until": "2099-01-01", "quantities": "3, 12"}
    quote_work = _sent(lead, "/quotes", data=terms)
    quote = _result(lead, quote_work)
    ticked = {f"saw.{saw}": "yes" for saw in ("north", "yard")}
    which = {"kind": "yearly", **ticked, "price.yard": "90000", "customer": "Weir works"}
    which_work = _sent(lead, "/which-saw", data=which, files={"file": ("yearly.csv", YEARLY)})
    compared = _result(lead, which_work)
    _sent(lead, f"{_sent(lead, '/uploads', data={'kind': 'order'}, files={'file': ('list.csv', LIST)})}/keep")
    order = store.orders()[-1]
    job = _sent(lead, "/orders/plan", data={"order": order.id})
    _until_over(lead, job)
    plan = store.latest_plan()
    assert plan is not None
    groups = [f"/plan/{group.id}" for group in plan.groups]
    cut = re.search(r'href="(/trace/piece/[^"]+)"', lead.get("/trace/mark/P1").text)
    assert cut is not None
    return [
        "/", *groups, f"{groups[0]}?rules=weighed", "/orders", nc, amiss, gap, held, f"{quote_work}?stay=yes",
        f"{which_work}?stay=yes", quote, compared, job, drawn, fault, cut[1],
        f"/orders/{order.id}/instead/{order.lines[0].id}", "/faults", "/faults/ask",
        "/faults/ask?symptom=crooked&saw=north", "/rack", "/cut", "/cut?grade=4140&section=round+80&choose=2",
        "/cut?grade=4140&section=round+80&hb=300&state=worn&coolant=dry&choose=1",
        "/cut?grade=1045&section=round+30&bundle=6", "/cut?grade=A36&section=L+100+x+100+x+10&angle=30",
        "/cut?grade=6061&section=tube+60+x+60+x+40&bundle=3", "/cut?grade=4140&section=round+500",
        "/cut?grade=41400&section=round+50&angle=ninety",
        "/cut/sections?section=rou", "/saws", "/saws/new", "/saws/north", "/bands", "/grades",
        "/grades?q=titanium", "/grades/Ti-6Al-4V", "/sections", "/sections?q=nothing+like+it",
        "/sections/W12X26", "/sources", "/about-safety", "/begin", "/own-tables", "/quotes", "/quotes/new",
        "/quotes/rates", "/which-saw", "/rules", "/learned", "/charts", "/exports", "/manual/first-day",
        "/people", "/people/first", "/ledger", "/sign-in", "/sign-in?at=panel", "/at-saw", "/at-saw/run/r1",
        f"/at-saw/run/{RUN}", "/trace", "/trace?q=nothing", "/trace/heat/H100", "/trace/bar/A-1",
        "/trace/mark/P1", "/week", "/week/hours", _week_job(lead), "/nowhere",
    ]  # fmt: skip


def unvisited(app: FastAPI, paths: list[str]) -> set[str]:
    """Pages of the router that none of the paths opens."""
    pages = [
        route
        for route in app.routes
        if isinstance(route, APIRoute)
        and "GET" in (route.methods or ())
        and route.response_class is HTMLResponse
    ]
    bare = [path.split("?")[0] for path in paths]
    return {page.path for page in pages if not any(page.path_regex.match(path) for path in bare)}


def own_words(catalog: Catalog, store: Store) -> set[str]:
    """Words that no language changes: names of things in the tables, and what people themselves wrote."""
    named = [
        [grade.name, *grade.aliases, *(two for one in grade.designations for two in one)]
        for grade in catalog.grades
    ]
    texts = [text for one in named for text in one]
    texts += [text for band in catalog.bands for text in (band.id,)]
    texts += [text for saw in catalog.saws for text in (saw.id, saw.name, saw.note)]
    texts += [text for source in catalog.sources for text in _texts(source)]
    texts += [section.name for section in catalog.sections]
    texts += list(_texts((store.orders(), store.rack().bars)))
    texts.append(FAULTY.decode())
    return {word for text in texts for word in WORD.findall(text)}


def _texts(value: object) -> Iterator[str]:
    """The plain texts within a value."""
    if isinstance(value, str):
        if not isinstance(value, Told | Enum):
            yield value
    elif isinstance(value, Mapping):
        yield from _texts((*value.keys(), *value.values()))
    elif isinstance(value, tuple | list):
        for one in value:
            yield from _texts(one)
    elif dataclasses.is_dataclass(value):
        yield from _texts([getattr(value, field.name) for field in dataclasses.fields(value)])


def _sent(lead: TestClient, path: str, **told: object) -> str:
    answer = lead.post(path, **told)
    assert answer.status_code == 303, (path, answer.text[-3000:])
    return str(answer.headers["location"]).split("#")[0]


def _until_over(lead: TestClient, path: str) -> None:
    for _ in range(6000):
        if 'http-equiv="refresh"' not in lead.get(f"{path}?stay=yes").text:
            return
        time.sleep(0.02)
    raise AssertionError(path)


def _result(lead: TestClient, path: str) -> str:
    _until_over(lead, path)
    answer = lead.get(path)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def _week_job(lead: TestClient) -> str:
    answer = lead.post("/week/replan", data={"moves": ""})
    return str(answer.headers["location"])
