"""Codes as QR symbols (ISO/IEC 18004), drawn as SVG."""

import io

import segno

QUIET_ZONE = 4
"""Modules left white round the symbol (ISO/IEC 18004)."""


def qr_svg(code: str) -> str:
    """The symbol of ``code`` with its quiet zone, correction level M or, where it costs no room, better."""
    symbol = segno.make_qr(code, error="m", boost_error=True)
    drawn = io.BytesIO()
    symbol.save(
        drawn, kind="svg", border=QUIET_ZONE, xmldecl=False, svgns=True, nl=False, dark="#000", light="#fff"
    )
    return drawn.getvalue().decode("ascii")
