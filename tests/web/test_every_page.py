"""What holds for every page: it opens, its markup is sound, and its policy is strict."""

import re
from html.parser import HTMLParser

import pytest
from fastapi.testclient import TestClient
from tests.web.memory import MemoryBackstage
from tests.web.page_paths import page_paths

from kerfsmith.web.security import CONTENT_POLICY
from kerfsmith.web.sheet import link

VOID = {"meta", "link", "input", "br", "img", "hr", "source", "area", "base", "col", "embed", "track", "wbr"}


class Reader(HTMLParser):
    """Keeps tags with attributes and notes where elements are closed out of turn."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.faults: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> closes {self.open[-3:]}")
        else:
            self.open.pop()


def read(html: str) -> Reader:
    """The tags of a page."""
    reader = Reader()
    reader.feed(html)
    return reader


@pytest.mark.parametrize("measure", ["metric", "inch"])
def test_every_page_opens_and_its_markup_is_sound(
    client: TestClient, shop: MemoryBackstage, measure: str
) -> None:
    client.cookies.set("measure", measure)
    for path in page_paths(shop):
        answer = client.get(path)
        assert answer.status_code == 200, path
        page = read(answer.text)
        assert page.faults == [], (path, page.faults[:3])
        assert page.open == [], path
        ids = [str(attrs["id"]) for _, attrs in page.tags if "id" in attrs]
        assert len(ids) == len(set(ids)), (path, sorted(one for one in ids if ids.count(one) > 1)[:5])
        kinds = [tag for tag, _ in page.tags]
        assert kinds.count("h1") == 1, path
        assert kinds.count("main") == 1, path
        assert {"header", "nav", "footer"} <= set(kinds), path


def test_every_heading_is_a_question(client: TestClient, shop: MemoryBackstage) -> None:
    for path in page_paths(shop):
        heading = re.search(r"<h1>(.*?)</h1>", client.get(path).text, re.S)
        assert heading is not None, path
        assert heading[1].strip().endswith("?"), path


def test_no_page_carries_style_or_script_of_its_own(client: TestClient, shop: MemoryBackstage) -> None:
    for path in [*page_paths(shop), "/nowhere"]:
        for tag, attrs in read(client.get(path).text).tags:
            assert tag != "style", path
            assert "style" not in attrs, (path, tag)
            assert not any(name.startswith(("on", "hx-on")) for name in attrs), (path, tag)
            if tag == "script":
                assert (attrs.get("src") or "").startswith("/static/"), path
            for name in ("src", "href", "action"):
                value = attrs.get(name)
                assert value is None or not re.match(r"(?i)\s*(https?:|//|javascript:|data:)", value), value


def test_every_picture_has_a_name_and_words_or_is_hidden(client: TestClient, shop: MemoryBackstage) -> None:
    for path in page_paths(shop):
        html = client.get(path).text
        for svg in re.findall(r"<svg.*?</svg>", html, re.S):
            start = svg[: svg.index(">")]
            nested = " x=" in start
            assert "aria-hidden" in start or nested or ("<title" in svg and "<desc" in svg), (path, start)


def test_every_answer_carries_the_strict_headers(client: TestClient, shop: MemoryBackstage) -> None:
    paths = [*page_paths(shop), "/nowhere", "/api/plan", "/static/ink.css", "/ticket.pdf", "/cut/sections"]
    for path in paths:
        headers = client.get(path).headers
        assert headers["content-security-policy"] == CONTENT_POLICY, path
        assert headers["x-content-type-options"] == "nosniff", path
        assert headers["x-frame-options"] == "DENY", path
        assert headers["referrer-policy"] == "same-origin", path


def test_the_policy_allows_nothing_inline_and_nothing_from_elsewhere() -> None:
    assert "unsafe" not in CONTENT_POLICY
    assert "http" not in CONTENT_POLICY
    assert CONTENT_POLICY.startswith("default-src 'none'")


def test_what_a_person_wrote_is_escaped(client: TestClient) -> None:
    wrote = "<script>alert(1)</script>\"'"
    for path, field in (("/cut", "grade"), ("/cut", "section"), ("/grades", "q"), ("/sections", "q")):
        html = client.get(path, params={field: wrote, "grade": wrote}).text
        assert "<script>alert" not in html


def test_words_that_no_page_may_hold(client: TestClient, shop: MemoryBackstage) -> None:
    for path in page_paths(shop):
        html = client.get(path).text
        assert "None" not in re.sub(r"<[^>]*>", " ", html), path
        assert "Undefined" not in html, path


METRIC_WORDS = re.compile(r"\d\s?(mm|cm²|cm2|m/min|mm/min|µm|um|kW|N|kN|MPa|kg)\b")


def test_an_inch_reader_is_told_nothing_in_metric(client: TestClient, shop: MemoryBackstage) -> None:
    client.cookies.set("measure", "inch")
    groups = [link("plan", group.id) for group in shop.plan().groups]  # type: ignore[union-attr]  # it has one
    for path in [
        "/",
        *groups,
        f"{groups[0]}?rules=weighed",
        "/cut",
        "/cut?grade=4140&section=round+80&choose=2",
        "/cut?grade=4140&section=round+500",
    ]:
        html = re.sub(r'value="[^"]*"|<datalist.*?</datalist>', "", client.get(path).text, flags=re.S)
        told = re.sub(r"<[^>]*>", " ", html)
        assert METRIC_WORDS.search(told) is None, (path, METRIC_WORDS.search(told))
