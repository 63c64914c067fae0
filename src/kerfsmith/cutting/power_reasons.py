"""Why power and forces are what they are, in the trade's words, with source and confidence."""

import math
from collections.abc import Iterator

from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.models import feed_force, timoshenko_gere_1961, vdi_3323
from kerfsmith.cutting.reckon import Reckoned, feed_force_share
from kerfsmith.cutting.set_up import force_shares, guide_span_mm, unit_power_bin
from kerfsmith.cutting.setting import PowerByMethod, Reason, reason_of
from kerfsmith.units.told import Told, has_measures, joined, marked, quantity, sentence

_KIENZLE = "kc = kc1.1 h^-mc"
STRAIGHTNESS = ((0.5, Told("low")), (0.85, Told("some")), (math.inf, Told("high")))
"""Share of what the band bears straight, up to which the risk goes by each word: the house's, low confidence.
"""


def power_reasons(
    grade: Grade, saw: SawSheet, methods: tuple[PowerByMethod, ...], condition: Condition
) -> Iterator[Reason]:
    """Why this power, and by how much the methods differ."""
    if not methods:
        told = sentence(
            "no figure of force or power is known for {grade}, so neither is reckoned", grade=grade.name
        )
        yield from (Reason(about, told) for about in ("power", "feed force"))
        return
    peaks = [method.peak_kw for method in methods]
    yield Reason(
        "power",
        sentence(
            "the motor gives {motor}, {net} of it at the teeth",
            motor=quantity(saw.motor_kw, "kW"),
            net=quantity(saw.motor_kw * saw.drive_efficiency, "kW"),
        ),
        "Pc = E Pm",
        saw.id,
        "saw sheet",
        Confidence.SHOP,
    )
    if len(methods) > 1:
        told = joined(
            ", ",
            (Told(f"{marked(one.method)} ({one.source}) {quantity(one.peak_kw, 'kW')}") for one in methods),
        )
        yield Reason(
            "power",
            sentence(
                "{peaks} by source: {sources}; the limit goes by the highest",
                peaks=quantity(min(peaks), "kW", max(peaks)),
                sources=told,
            ),
        )
    for source in grade.kienzle:
        text = sentence(
            "kc1.1 {kc11} at a chip of {chip}, mc {mc}; fitted in turning at {tried} and extrapolated here",
            kc11=quantity(source.kc11.value, "N/mm2"),
            chip=quantity(1.0, "mm"),
            mc=f"{source.mc:g}",
            tried=quantity(0.1, "mm", 1.0),
        )
        yield reason_of("power", text, source.kc11, _KIENZLE)
    if grade.kienzle:
        thinnest = quantity(vdi_3323.LEAST_CHIP_MM * 1000, "um")
        yield Reason(
            "power",
            sentence(
                "a thinner chip takes more force for its size; below {thinnest} it is held", thinnest=thinnest
            ),
            _KIENZLE,
            vdi_3323.LAW,
            "law of the specific cutting force",
            Confidence.MEMORY_GOOD,
        )
    hb = condition.hb if condition.hb is not None else grade.hb.value
    if (row := unit_power_bin(grade, hb)) is not None:
        figure = row[0].figure
        shown = (
            quantity(figure.value, figure.unit)
            if has_measures(figure.unit)
            else f"{figure.value:.3g} {figure.unit}"
        )
        text = sentence("unit power {shown} at {hb} HB", shown=shown, hb=f"{hb:.0f}")
        if not row[1]:
            text = sentence("{text}, the nearest row: the hardness lies outside the table", text=text)
        yield reason_of("power", text, figure, "P = Kp C Q W")


def force_reasons(found: Reckoned, saw: SawSheet, condition: Condition) -> Iterator[Reason]:
    """What the band bears, what the feed pushes, and how straight the cut will run."""
    if not found.figures.power.known:
        return
    low, high = timoshenko_gere_1961.SHARE
    yield Reason(
        "band force",
        sentence(
            "guides {saw} apart, {band_tension} in the band: it bears {band} straight ({low} "
            "to {high} of the load at which it turns aside)",
            saw=quantity(guide_span_mm(saw, found.work), "mm"),
            band_tension=quantity(saw.band_tension_mpa, "MPa"),
            band=quantity(float(found.figures.band_n[0, 0]), "N"),
            low=f"{low:g}",
            high=f"{high:g}",
        ),
        "Mcr = pi/L sqrt((E Iy + T L^2/pi^2)(G J + T b^2/12))",
        timoshenko_gere_1961.SOURCE,
        "ch. 6, with tension added",
        Confidence.MEMORY_GOOD,
    )
    share = float(feed_force_share(found))
    risk = next(word for most, word in STRAIGHTNESS if share <= most)
    yield Reason(
        "straightness",
        sentence(
            "the push reaches {share} of what the band bears straight: {risk} risk of a "
            "crooked cut with a sound band and guides close to the work",
            share=f"{share:.0%}",
            risk=risk,
        ),
        "Ff / (share of Pcr)",
        timoshenko_gere_1961.SOURCE,
        "ch. 6, with tension added",
        Confidence.MEMORY_LOW,
    )
    least, _, most = force_shares(condition)
    yield Reason(
        "feed force",
        sentence(
            "taken as {force_ratio} of the cutting force; it may be {least} to {most} of it",
            force_ratio=f"{found.figures.force_ratio:g}",
            least=f"{least:g}",
            most=f"{most:g}",
        ),
        "Ff = r Fc, Fc = P / v",
        feed_force.SOURCE,
        "feed force over cutting force",
        Confidence.MEMORY_LOW,
    )
