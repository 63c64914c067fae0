"""Paper read back the way a scanner and a person read it: pictures of the pages, their codes and their
text."""

import io

import numpy as np
import pypdf
import pypdfium2  # type: ignore[import-untyped]  # it ships no types
import zxingcpp
from numpy.typing import NDArray

SCANNER_DPI = 203
"""Dots per inch of the usual label printer (8 dots a millimetre): all that a scanner gets to see."""


def pictures(pdf: bytes, dpi: int = SCANNER_DPI) -> list[NDArray[np.uint8]]:
    """Each page as grey dots."""
    document = pypdfium2.PdfDocument(pdf)
    return [page.render(scale=dpi / 72, grayscale=True).to_numpy().squeeze() for page in document]


def codes(pdf: bytes, dpi: int = SCANNER_DPI) -> list[str]:
    """Every QR symbol found on the pages, page by page, from the top left down, as a second reader decodes
    it."""
    found: list[str] = []
    for picture in pictures(pdf, dpi):
        symbols = zxingcpp.read_barcodes(
            picture, formats=zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
        )
        rows = sorted(
            symbols, key=lambda one: (round(one.position.top_left.y / dpi, 1), one.position.top_left.x)
        )
        found += [one.text for one in rows]
    return found


def text(pdf: bytes) -> str:
    """All text of the PDF, spaces evened out and the places where a word may break taken away."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    whole = "\n".join(page.extract_text() for page in pages).replace("\u200b", "").replace("\u2009", " ")
    return " ".join(whole.split())


def page_texts(pdf: bytes) -> list[str]:
    """The text of each page."""
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
