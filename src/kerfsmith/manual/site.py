"""The manual as a site: plain files that any web server, or none, can show."""

from collections.abc import Iterator
from html import escape
from importlib import resources
from pathlib import Path

from kerfsmith.manual.book import Book, Leaf, open_book
from kerfsmith.manual.render import contents_of, html_of

_POLICY = "default-src 'none'; style-src 'self'; img-src 'self'"


def write_site(folder: Path) -> tuple[Path, ...]:
    """Write every page, the first as ``index.html`` too; what was written, in order. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    return tuple(_write(folder / name, data) for name, data in site_files(open_book()))


def site_files(book: Book) -> Iterator[tuple[str, bytes]]:
    """Names and contents of the site's files."""
    for leaf in book.leaves:
        page = _page(book, leaf).encode()
        yield f"{leaf.name}.html", page
        if leaf is book.leaves[0]:
            yield "index.html", page
    yield "manual.css", resources.files("kerfsmith.manual").joinpath("site.css").read_bytes()
    pictures = resources.files("kerfsmith.manual").joinpath("pages", "pictures")
    if pictures.is_dir():
        for picture in pictures.iterdir():
            yield f"pictures/{picture.name}", picture.read_bytes()


def _write(file: Path, data: bytes) -> Path:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(data)
    return file


def _page(book: Book, leaf: Leaf) -> str:
    before, after = book.around(leaf)
    steps = "".join(
        f'<a rel="{rel}" href="{one.name}.html">{escape(one.title)}</a>'
        for rel, one in (("prev", before), ("next", after))
        if one
    )
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{_POLICY}">
<title>{escape(leaf.title)} · Kerfsmith manual</title>
<link rel="stylesheet" href="manual.css">
</head>
<body>
<a class="skip" href="#text">To the text</a>
<nav class="parts" aria-label="Manual">{_parts(book, leaf)}</nav>
<main id="text" tabindex="-1">
<h1>{escape(leaf.title)}</h1>
{html_of(leaf.text, _link)}
<nav class="steps" aria-label="Next and before">{steps}</nav>
</main>
</body>
</html>
"""


def _parts(book: Book, here: Leaf) -> str:
    return "".join(
        f"<h2>{escape(part.title)}</h2><ul>{''.join(_entry(leaf, here) for leaf in part.leaves)}</ul>"
        for part in book.parts
    )


def _entry(leaf: Leaf, here: Leaf) -> str:
    if leaf is not here:
        return f'<li><a href="{leaf.name}.html">{escape(leaf.title)}</a></li>'
    inside = "".join(
        f'<li><a href="#{place}">{escape(words)}</a></li>' for place, words in contents_of(leaf.text)
    )
    return (
        f'<li><a href="{leaf.name}.html" aria-current="page">{escape(leaf.title)}</a><ul>{inside}</ul></li>'
    )


def _link(target: str) -> str:
    return f"{target.removesuffix('.md')}.html" if target.endswith(".md") else target
