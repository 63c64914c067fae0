"""Pressing the panel's plain forms, as a browser without script does."""

import html
from html.parser import HTMLParser

from fastapi.testclient import TestClient
from httpx import Response

RUN = "/at-saw/run/r1"


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[dict[str, str]] = []
        self._open: dict[str, str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        one = dict(attrs)
        if tag == "form":
            self._open = {"": one.get("data-verb") or ""}
            self._open["."] = " ".join(name for name in one if name.startswith("data-"))
            self.forms.append(self._open)
        elif tag == "input" and self._open is not None and one.get("name"):
            self._open[str(one["name"])] = one.get("value") or ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._open = None


def forms(page: str, verb: str) -> list[dict[str, str]]:
    """The fields of every form of a verb, with what they hold; under "." the form's data attributes."""
    reader = _Forms()
    reader.feed(page)
    return [form for form in reader.forms if form[""] == verb]


def filled(page: str, verb: str, marked: str = "", **fields: str) -> dict[str, str]:
    """The first form of a verb (whose attributes hold ``marked``), filled in."""
    found = next(
        form
        for form in forms(page, verb)
        if marked in form["."] and (marked or not any(one in form["."] for one in ("trim", "held", "chosen")))
    )
    return {name: value for name, value in {**found, **fields}.items() if name not in ("", ".")}


def press(client: TestClient, verb: str, marked: str = "", **fields: str) -> Response:
    """Open the panel, fill a form of it and send it, following where it leads."""
    page = client.get(RUN)
    assert page.status_code == 200
    answer = client.post(f"{RUN}/act", data=filled(page.text, verb, marked, **fields))
    last: Response = client.get(answer.headers["location"]) if answer.status_code == 303 else answer
    return last


def shown(page: str, name: str) -> str:
    """What the page shows under a name."""
    start = page.index(f'data-show="{name}"')
    start = page.index(">", start) + 1
    return html.unescape(page[start : page.index("<", start)]).strip()


def scene(page: str) -> str:
    """The scene of the panel."""
    return page.split('data-scene="')[1].split('"')[0]
