"""The manual as the pages show it."""

from importlib import resources

from kerfsmith.manual.book import Leaf, open_book
from kerfsmith.manual.render import contents_of, html_of
from kerfsmith.web.manual_stage import ManualEntry, ManualPage, ManualPart


class PackagedManual:
    """`web.manual_stage.ManualStage` over the package's own pages."""

    def parts(self) -> tuple[ManualPart, ...]:
        """What there is to read, in order."""
        return tuple(
            ManualPart(part.title, tuple(ManualEntry(leaf.name, leaf.title) for leaf in part.leaves))
            for part in open_book().parts
        )

    def page(self, name: str) -> ManualPage | None:
        """One page."""
        book = open_book()
        leaf = book.leaf(name)
        if leaf is None:
            return None
        before, after = book.around(leaf)
        return ManualPage(
            leaf.name,
            leaf.title,
            html_of(leaf.text, _link),
            contents_of(leaf.text),
            _entry(before),
            _entry(after),
        )

    def picture(self, name: str) -> bytes | None:
        """A picture of the manual."""
        folder = resources.files("kerfsmith.manual").joinpath("pages", "pictures")
        wanted = (
            next((entry for entry in folder.iterdir() if entry.name == name), None)
            if folder.is_dir()
            else None
        )
        return wanted.read_bytes() if wanted is not None else None


def _entry(leaf: Leaf | None) -> ManualEntry | None:
    return ManualEntry(leaf.name, leaf.title) if leaf is not None else None


def _link(target: str) -> str:
    return f"/manual/{target.removesuffix('.md')}"
