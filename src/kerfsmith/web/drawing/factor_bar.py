"""A learned factor as a picture: published at 1, the interval as a beam, the factor as a diamond."""

import math
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.web.drawing.svg import element, number, picture

WIDTH, HEIGHT = 260.0, 34.0
_LEFT, _RIGHT, _MIDDLE = 12.0, 248.0, 17.0


@dataclass(frozen=True, slots=True)
class FactorScale:
    """The least and greatest factor that all pictures of one table show."""

    low: float
    high: float

    def at(self, factor: float) -> float:
        """Where a factor stands, in the logs of factors: half and double are as far from 1."""
        share = math.log(min(max(factor, self.low), self.high) / self.low) / math.log(self.high / self.low)
        return _LEFT + (_RIGHT - _LEFT) * share


def factor_bar(
    value: float,
    interval: tuple[float, float],
    following: tuple[float, float] | None,
    scale: FactorScale,
    words: str,
    key: str,
) -> Markup:
    """One factor; ``following`` is where the next single observation will lie, as a thin line."""
    low, high = (scale.at(end) for end in interval)
    at, published = scale.at(value), scale.at(1.0)
    parts = [element("line", x1=published, x2=published, y1=2, y2=HEIGHT - 2, class_="published")]
    if following is not None:
        parts.append(
            element(
                "line",
                x1=scale.at(following[0]),
                x2=scale.at(following[1]),
                y1=_MIDDLE,
                y2=_MIDDLE,
                class_="following",
            )
        )
    parts += [
        element("rect", x=low, y=_MIDDLE - 6, width=max(high - low, 2.0), height=12, class_="interval"),
        element("path", d=f"M{number(at)} {number(_MIDDLE - 9)}l7 9l-7 9l-7 -9z", class_="learned"),
    ]
    return picture(
        words, words, parts, key=key, class_="factor-bar", viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}"
    )
