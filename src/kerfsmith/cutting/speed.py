"""Band speed for one band in one work: the published speed, each correction, and the saw's range."""

from dataclasses import dataclass

from kerfsmith.catalog.band import Band, Edge
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.models.handbook_2020 import band_speed_m_per_min
from kerfsmith.cutting.setting import Reason
from kerfsmith.cutting.work import Work
from kerfsmith.units.told import Told, quantity, sentence

PRINTED_FOR_MM = 101.6
"""Length of cut, 4 in, for which band speeds are printed (MH31 p. 1245)."""

TOO_FAST = 1.15
"""A saw whose slowest speed is more than this above what the grade bears can't cut it with that band."""


@dataclass(frozen=True, slots=True)
class Factor:
    """One correction: its factor as a figure and the words for it."""

    name: str
    figure: Figure
    text: Told


@dataclass(frozen=True, slots=True)
class Speed:
    """A band speed, m/min. ``wanted`` is what the grade asks for with every correction, ``used`` what the saw
    runs.

    ``reference`` is the speed for which the grade's area rate with this edge was given. ``possible`` is false
    where the saw can't go as slow as it must.
    """

    wanted: float
    low: float
    high: float
    used: float
    reference: float
    possible: bool
    factors: tuple[Factor, ...]
    published: Figure


def runs_dry(grade: Grade, saw: SawSheet, condition: Condition) -> bool:
    """Whether a grade that wants coolant gets none."""
    return grade.coolant == "flood" and not (condition.coolant and saw.coolant)


def _edge_factor(grade: Grade, band: Band, corrections: Corrections) -> Factor | None:
    if grade.family == "non-metal":
        return None
    if band.edge is Edge.CARBON:
        return Factor(
            "edge", corrections.carbon_edge, Told("a carbon-steel band runs at half the speed of bimetal")
        )
    if band.edge is Edge.CARBIDE and (figure := corrections.carbide_factor(grade.family)) is not None:
        return Factor(
            "edge",
            figure,
            sentence("a carbide-tipped band runs faster in {family}", family=Told(grade.family)),
        )
    return None


def factors_for(
    grade: Grade, work: Work, band: Band, saw: SawSheet, corrections: Corrections, condition: Condition
) -> tuple[Factor, ...]:
    """Every correction that is due, in the order in which a person would lay them on."""
    found: list[Factor] = []
    if not band.edge.is_grit and grade.family != "non-metal":
        length = work.length_of_cut_mm
        found.append(
            Factor(
                "size",
                corrections.size_factor(length),
                sentence("length of cut {length}", length=quantity(length, "mm"))
                if work.is_solid
                else sentence("mean length of cut {length}", length=quantity(length, "mm")),
            )
        )
    if (edge := _edge_factor(grade, band, corrections)) is not None:
        found.append(edge)
    if runs_dry(grade, saw, condition):
        found.append(
            Factor("coolant", corrections.dry, Told("cut dry, without the coolant the speed was printed for"))
        )
    hb = condition.hb if condition.hb is not None else grade.hb.value
    if grade.family != "non-metal" and grade.hb_annealed > 0:
        hard = corrections.hardness_factor(hb, grade.hb_annealed)
        if hard.value < 1:
            text = sentence(
                "{hb} HB, harder than the {hb_annealed} HB the speed was printed for",
                hb=f"{hb:.0f}",
                hb_annealed=f"{grade.hb_annealed:.0f}",
            )
            found.append(Factor("hardness", hard, text))
    if work.structural and not grade.structural_row:
        found.append(Factor("shape", corrections.shapes, Told("a rolled shape vibrates under the band")))
    return tuple(found)


def band_speed(
    grade: Grade, work: Work, band: Band, saw: SawSheet, corrections: Corrections, condition: Condition
) -> Speed:
    """The band speed for this grade, work, band and saw."""
    published = grade.band_speed
    factors = factors_for(grade, work, band, saw, corrections, condition)
    by_name = {factor.name: factor.figure for factor in factors}

    def product(end: str, base: float) -> float:
        one = {name: float(getattr(figure, end)) for name, figure in by_name.items()}
        return band_speed_m_per_min(
            base,
            one.get("size", 1.0),
            one.get("coolant", 1.0),
            one.get("edge", 1.0),
            one.get("hardness", 1.0),
            one.get("shape", 1.0),
        )

    wanted = product("value", published.value)
    low, high = product("low", published.low), product("high", published.high)
    if grade.fire_speed is not None:
        wanted, low, high = (min(speed, grade.fire_speed.low) for speed in (wanted, low, high))
    used = min(max(wanted, saw.band_speed_min_m_per_min), saw.band_speed_max_m_per_min)
    edge = by_name.get("edge") if band.edge is Edge.CARBIDE else None
    return Speed(
        wanted=wanted,
        low=low,
        high=high,
        used=used,
        reference=published.value * (edge.value if edge else 1.0),
        possible=saw.band_speed_min_m_per_min <= wanted * TOO_FAST,
        factors=factors,
        published=published,
    )


def _noted(text: Told, figure: Figure) -> Told:
    """The text with what the figure itself has to say, such as that it is held beyond its table."""
    return sentence("{text} ({note})", text=text, note=Told(figure.note)) if figure.note else text


def _published(grade: Grade) -> Told:
    """The speed everything starts from, and for what it holds."""
    figure = grade.band_speed
    if grade.family == "non-metal":
        span = (
            sentence(", between {span}", span=quantity(figure.low, "m/min", figure.high))
            if figure.low < figure.high
            else ""
        )
        return sentence(
            "{grade} is sawn at {speed}{span}, at any length of cut",
            grade=grade.name,
            speed=quantity(figure.value, "m/min"),
            span=span,
        )
    printed = figure.confidence in (Confidence.READ, Confidence.MEMORY_GOOD)
    return sentence(
        "{grade} is {printed} at {speed} for a bimetal band with coolant, for a cut {length} long",
        grade=grade.name,
        printed=(Told("printed") if printed else Told("taken")),
        speed=quantity(figure.value, "m/min"),
        length=quantity(PRINTED_FOR_MM, "mm"),
    )


def speed_reasons(speed: Speed, grade: Grade, saw: SawSheet) -> tuple[Reason, ...]:
    """Why the band runs at this speed."""
    figure = speed.published
    about = "band speed"
    found = [
        Reason(
            about,
            _noted(_published(grade), figure),
            "",
            figure.source,
            figure.where,
            figure.confidence,
        )
    ]
    found += [
        Reason(
            about,
            _noted(
                sentence("times {times}: {why}", times=f"{factor.figure.value:.2f}", why=factor.text),
                factor.figure,
            ),
            "v = v0 f_size f_coolant f_edge f_hardness f_shape",
            factor.figure.source,
            factor.figure.where,
            factor.figure.confidence,
        )
        for factor in speed.factors
    ]
    if grade.fire_speed is not None and speed.wanted >= grade.fire_speed.low:
        fire = grade.fire_speed
        text = sentence(
            "held to {fire_low}, above which its chips may catch fire", fire_low=quantity(fire.low, "m/min")
        )
        found.append(Reason(about, text, "", fire.source, fire.where, fire.confidence))
    if speed.used != speed.wanted:
        end = Told("slowest") if speed.used > speed.wanted else Told("fastest")
        text = sentence(
            "the grade asks for {wanted}; the {end} this saw runs is {used}",
            wanted=quantity(speed.wanted, "m/min"),
            end=end,
            used=quantity(speed.used, "m/min"),
        )
        found.append(Reason(about, text, "", saw.id, "saw sheet", Confidence.SHOP))
    return tuple(found)
