"""The page of one cut over the real engine and catalog: what a person is told of each kind of cut."""

import re
from collections.abc import Iterator
from html import unescape

import pytest
from fastapi.testclient import TestClient
from tests.web.real_cuts import CUTS, RealCuts

from kerfsmith.web.app import create_app


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    with TestClient(create_app(RealCuts())) as made:
        yield made


def dials(html: str) -> dict[str, tuple[str, str, list[str]]]:
    """Value, note and reasons of each figure that unfolds."""
    found = {}
    for block in re.findall(r'<details class="why">(.*?)</details>', html, flags=re.S):
        label, value, note = (
            unescape("".join(re.findall(rf'<span class="why-{part}">(.*?)</span>', block, flags=re.S)))
            for part in ("label", "value", "note")
        )
        reasons = re.findall(r"<li[^>]*>(.*?)</li>", block, flags=re.S)
        found[label] = (
            value,
            note,
            [" ".join(unescape(re.sub(r"<[^>]*>", " ", one)).split()) for one in reasons],
        )
    return found


@pytest.mark.parametrize("name", CUTS)
def test_every_figure_answers_why(client: TestClient, name: str) -> None:
    html = client.get("/cut", params=CUTS[name]).text
    found = dials(html)
    main = {"Band", "Pitch", "Band speed", "Feed, mean", "Feed, if held steady", "One cut"}
    further = {"Area of the cut", "Kerf", "Teeth in the cut", "Power", "Feed force", "Cuts of a band's life"}
    through = {"Bending over the wheels", "Tension", "Twist into the guides", "Bends", "Fatigue, estimate"}
    assert found.keys() >= main | further | through
    assert 'class="why plain"' not in html
    for label, (value, _, reasons) in found.items():
        assert value, label
        assert reasons, label
        assert all(len(reason) > 20 for reason in reasons), (label, reasons)


@pytest.mark.parametrize("name", CUTS)
def test_what_rests_on_figures_of_low_confidence_is_shown_with_its_interval(
    client: TestClient, name: str
) -> None:
    found = dials(client.get("/cut", params=CUTS[name]).text)
    spanned = ["Feed, mean", "Feed, if held steady", "One cut", "Cuts of a band's life", "Kerf"]
    spanned += ["Feed force"] if found["Feed force"][0] != "not reckoned" else []
    for label in spanned:
        value, note, _ = found[label]
        span = re.search(r"(?:between )?([\d.]+)[^;]*? (?:to|and) ([\d.]+)", note)
        assert span is not None, (label, value, note)


def test_titaniums_disagreement_stands_on_the_page_as_an_interval(client: TestClient) -> None:
    """Two reprints of VDI 3323 (group 37) differ by up to 70 %, and unit power lies below both."""
    value, note, reasons = dials(client.get("/cut", params=CUTS["titanium"]).text)["Power"]
    low, high = map(float, re.findall(r"[\d.]+", value))
    assert low * 2 < high
    assert "by method" in note
    told = next(reason for reason in reasons if "by source" in reason)
    for source in ("VDI3323a", "VDI3323b", "MH31"):
        assert source in told


def test_a_material_without_a_power_figure_says_so_where_asked(client: TestClient) -> None:
    found = dials(client.get("/cut", params=CUTS["plastic"]).text)
    for label in ("Power", "Feed force"):
        value, _, reasons = found[label]
        assert value == "not reckoned"
        assert "no figure of force or power is known for PTFE" in " ".join(reasons)


def test_the_cant_of_the_head_is_drawn_and_told(client: TestClient) -> None:
    html = client.get("/cut", params=CUTS["canted beam"]).text
    assert ">bed 3°</text>" in html
    assert "the head is canted by 3°" in html
    assert ">bed" not in client.get("/cut", params=CUTS["wide beam"]).text
