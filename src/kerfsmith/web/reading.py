"""How a person reads: inch or metric, light or dark, kept in two cookies and nowhere else."""

from dataclasses import dataclass
from enum import StrEnum

from starlette.requests import Request

from kerfsmith.units.length import Measure, mm_to_um
from kerfsmith.units.show import (
    MM_PER_INCH,
    show_area,
    show_area_rate,
    show_chip,
    show_feed,
    show_feet_inches,
    show_force,
    show_length,
    show_mass,
    show_power,
    show_seconds,
    show_size,
    show_speed,
    show_stiffness,
    show_stress,
)
from kerfsmith.units.told import in_language
from kerfsmith.web.words import catalog_of, language, say

MEASURE_COOKIE = "measure"
LIGHT_COOKIE = "light"


_BAND_INCHES = {
    6: "1/4",
    10: "3/8",
    13: "1/2",
    16: "5/8",
    19: "3/4",
    20: "3/4",
    27: "1",
    34: "1 1/4",
    41: "1 1/2",
    54: "2",
    67: "2 5/8",
    80: "3",
}
"""Nominal inch width of a band by its nominal millimetres (common practice: the two are sold as one)."""


class Light(StrEnum):
    """The light a page is made for; AUTO follows the screen's own setting."""

    AUTO = "auto"
    DAY = "day"
    NIGHT = "night"


@dataclass(frozen=True, slots=True)
class Reading:
    """One person's measure and light, and every figure shown through them."""

    measure: Measure
    light: Light

    @property
    def is_metric(self) -> bool:
        """Whether lengths are shown in millimetres."""
        return self.measure is Measure.METRIC

    @property
    def length_unit(self) -> str:
        """The unit of short lengths: ``mm`` or ``in``."""
        return "mm" if self.is_metric else "in"

    def length(self, length_um: int) -> str:
        """A length with its unit."""
        return show_length(length_um, self.measure)

    def bare_length(self, length_um: int) -> str:
        """A length without its unit, for a drawing or a column that states it once."""
        return self.length(length_um).removesuffix(" mm").removesuffix(" in")

    def stretch(self, length_um: int) -> str:
        """A long length: metres to the centimetre, or feet and inches."""
        return f"{length_um / 1e6:.2f} m" if self.is_metric else show_feet_inches(length_um)

    def size(self, size_mm: float) -> str:
        """A dimension given in millimetres, with its unit."""
        return self.length(mm_to_um(size_mm))

    def bare_size(self, size_mm: float) -> str:
        """A dimension given in millimetres, without its unit."""
        return self.bare_length(mm_to_um(size_mm))

    def speed(self, speed_m_per_min: float) -> str:
        """Band speed."""
        return show_speed(speed_m_per_min, self.measure)

    def feed(self, feed_mm_per_min: float) -> str:
        """Feed of the head."""
        return show_feed(feed_mm_per_min, self.measure)

    def area(self, area_cm2: float) -> str:
        """Area of a cut."""
        return show_area(area_cm2, self.measure)

    def area_rate(self, rate_cm2_per_min: float) -> str:
        """Cutting rate."""
        return show_area_rate(rate_cm2_per_min, self.measure)

    def mass(self, mass_kg: float) -> str:
        """Mass."""
        return show_mass(mass_kg, self.measure)

    def power(self, power_kw: float) -> str:
        """Power."""
        return show_power(power_kw, self.measure)

    def force(self, force_n: float) -> str:
        """Force."""
        return show_force(force_n, self.measure)

    def chip(self, chip_um: float) -> str:
        """Thickness of a chip: ``24 µm`` or ``0.94 thou``."""
        return show_chip(chip_um, self.measure)

    def told(self, text: str) -> str:
        """A sentence of the core with its quantities, in the reader's language."""
        return in_language(text, self.measure, catalog_of(language()))

    def stress(self, stress_mpa: float) -> str:
        """Stress."""
        return show_stress(stress_mpa, self.measure)

    def stiffness(self, stiffness_n_per_mm: float) -> str:
        """Stiffness."""
        return show_stiffness(stiffness_n_per_mm, self.measure)

    def fine(self, size_mm: float) -> str:
        """A dimension given in millimetres, finer the smaller it is."""
        return show_size(size_mm, self.measure)

    def band_size(self, width_mm: float, thickness_mm: float) -> str:
        """Width and thickness of a band, in inches as the trade names them (1 1/4 x 0.042 in)."""
        if self.is_metric:
            return f"{width_mm:g} × {thickness_mm:g} mm"
        width = _BAND_INCHES.get(round(width_mm)) or f"{width_mm / MM_PER_INCH:.2f}"
        return f"{width} × {thickness_mm / MM_PER_INCH:.3f} in"


def reading_of(request: Request) -> Reading:
    """The reading a request's cookies ask for; metric and the screen's own light where they say nothing."""
    measure = request.cookies.get(MEASURE_COOKIE, "")
    light = request.cookies.get(LIGHT_COOKIE, "")
    return Reading(
        measure=Measure(measure) if measure in list(Measure) else Measure.METRIC,
        light=Light(light) if light in list(Light) else Light.AUTO,
    )


def seconds(value: float) -> str:
    """A time in seconds as a person says it."""
    return show_seconds(value)


def hours(value: float) -> str:
    """Hours to a tenth, or whole minutes below an hour."""
    return f"{value * 60:.0f} min" if round(value * 60) < 60 else f"{value:.1f} h"


def span(low: float, high: float) -> str:
    """A range of hours, in the unit of its greater end."""
    if round(high * 60) >= 60:
        return say("between {low} and {high} h", low=f"{low:.1f}", high=f"{high:.1f}")
    return say("between {low} and {high} min", low=f"{low * 60:.0f}", high=f"{high * 60:.0f}")


def share(value: float, decimals: int = 1) -> str:
    """A share as percent."""
    return f"{value * 100:.{decimals}f} %"


def plural(count: int, one: str, many: str | None = None) -> str:
    """``1 bar``, ``2 bars``."""
    return f"{count} {one if count == 1 else many or one + 's'}"
