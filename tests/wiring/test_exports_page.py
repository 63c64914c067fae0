"""The page of exports and its files, over real records."""

import json
from collections.abc import Iterator
from html import unescape

import jsonschema_rs
import pytest
from fastapi.testclient import TestClient
from tests.plans_here import PlansHere
from tests.tables import package_tables

from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.web.app import create_app
from kerfsmith.web.pages.exports.routes import routes
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.export_stage import ShopExportStage
from kerfsmith.wiring.records import open_demo_at_first_start, open_store
from kerfsmith.wiring.shop_tables import ShopTables


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    catalog = package_tables()
    store = open_store(str(tmp_path_factory.mktemp("shop") / "shop.sqlite"))
    open_demo_at_first_start(store, catalog)
    stage = ShopExportStage(store, ShopTables(store, catalog))
    backstage = ShopBackstage(store, catalog, PlansHere(catalog))  # type: ignore[arg-type]
    app = create_app(backstage, stages=Stages(exports=stage))
    # Without people the pages of further stages aren't there; this one asks nobody who he is.
    app.include_router(routes(Sheets(backstage, stages=Stages(exports=stage)), stage))
    with TestClient(app, follow_redirects=False) as made:
        yield made


def test_every_table_is_offered_in_every_form(client: TestClient) -> None:
    page = unescape(client.get("/exports").text)
    for name, offer in TABLES.items():
        assert offer.title in page
        for form in ("csv", "xlsx", "json", "schema.json"):
            assert f'href="/exports/{name}.{form}"' in page
            assert client.get(f"/exports/{name}.{form}").status_code == 200
            assert client.get(f"/api/exports/{name}.{form}").status_code == 200
    assert [each["table"] for each in client.get("/api/exports").json()] == list(TABLES)


@pytest.mark.parametrize("name", list(TABLES))
def test_the_json_over_the_wire_keeps_the_schema_over_the_wire(client: TestClient, name: str) -> None:
    schema = client.get(f"/api/exports/{name}.schema.json").json()
    document = client.get(f"/api/exports/{name}.json")
    jsonschema_rs.validator_for(schema).validate(json.loads(document.content))
    assert document.headers["content-disposition"] == f'attachment; filename="{name}.json"'
    assert document.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    ("path", "status"), [("rack.pdf", 404), ("rak.csv", 404), ("..%2Frack.csv", 404), ("RACK.csv", 422)]
)
def test_what_there_is_not(client: TestClient, path: str, status: int) -> None:
    assert client.get(f"/api/exports/{path}").status_code == status


def test_other_pages_lead_there(client: TestClient) -> None:
    for path, anchor in (("/rack", "rack"), ("/orders", "cut-list")):
        assert f'href="/exports#{anchor}"' in client.get(path).text
