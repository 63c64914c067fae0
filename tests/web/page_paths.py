"""The paths of the pages over the shop in memory."""

from tests.web.memory import MemoryBackstage

from kerfsmith.web.backstage import UploadKind
from kerfsmith.web.sheet import link


def page_paths(shop: MemoryBackstage) -> list[str]:
    """Every kind of page that can be opened, with something on it."""
    sure = shop.read_upload(UploadKind.ORDER, "list.csv", b"Pos;Mat")
    unsure = shop.read_upload(UploadKind.ORDER, "list.csv", b"Pos;Mat?")
    rack = shop.read_upload(UploadKind.RACK, "rack.csv", b"Label;Grade")
    assert shop.made is not None
    groups = [link("plan", group.id) for group in shop.made.groups]
    return [
        "/",
        *groups,
        f"{groups[0]}?rules=weighed",
        "/orders",
        link("orders", shop.book[0].id, "instead", shop.book[0].lines[0].id),
        "/rack",
        "/cut",
        "/cut?grade=4140&section=round+80&choose=2",
        "/cut?grade=4140&section=round+80&hb=300&state=worn&coolant=dry&choose=1",
        "/cut?grade=4140&section=round+500",
        "/cut?grade=41400&section=round+50&angle=ninety",
        "/saws",
        "/bands",
        "/grades",
        "/grades?q=titanium",
        "/grades/Ti-6Al-4V",
        "/sections",
        "/sections?q=nothing+like+it",
        "/sections/W12X26",
        "/sources",
        "/about-safety",
        "/planning/J-1",
        "/begin",
        f"/uploads/{sure.id}",
        f"/uploads/{unsure.id}",
        f"/uploads/{rack.id}",
    ]
