"""Times side by side: level bars of one scale, each with its words."""

from markupsafe import Markup

from kerfsmith.cutting.setting import ControlTime
from kerfsmith.web.drawing.svg import element, percent, picture
from kerfsmith.web.reading import Reading, seconds
from kerfsmith.web.words import say

_ROW = 46


def by_control(times: tuple[ControlTime, ...], reading: Reading, key: str) -> Markup:
    """The same cut by what a saw can hold, quickest first."""
    longest = max(time.seconds for time in times)
    parts = []
    for at, time in enumerate(times):
        y = at * _ROW
        share = time.seconds / longest
        parts += [
            element("rect", x=1, y=y + 20, width=percent(share * 0.8), height=16, class_="time-bar"),
            element("text", _named(time, reading), x=1, y=y + 14, class_="limit-name"),
            element(
                "text", seconds(time.seconds), x=percent(share * 0.8 + 0.012), y=y + 33, class_="time-text"
            ),
        ]
    words = "; ".join(
        say("{control} {time}, {held}", control=say(str(time.control)), time=seconds(time.seconds), held=held)
        for time, held in ((one, reading.told(one.held)) for one in times)
    )
    return picture(
        say("The same cut by what a saw can hold"),
        words,
        parts,
        key=key,
        class_="times",
        width="100%",
        height=_ROW * len(times),
    )


def _named(time: ControlTime, reading: Reading) -> str:
    return say("{control}: {held}", control=say(str(time.control)), held=reading.told(time.held))
