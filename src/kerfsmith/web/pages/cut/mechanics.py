"""What the band of a cut goes through, as figures that answer "why?"."""

from kerfsmith.cutting.mechanics import BandReport
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.web.pages.cut.answerable import Answerable
from kerfsmith.web.reading import Reading, share
from kerfsmith.web.reasons import reason_line
from kerfsmith.web.settings import Dial
from kerfsmith.web.words import say


def mechanics_view(report: BandReport, setting: CutSetting, reading: Reading) -> tuple[Answerable, ...]:
    """Stress, bends, stiffness, wear and break-in of the band, each with where it comes from."""
    lines = tuple(reason_line(reason, reading) for reason in report.reasons)
    return tuple(
        Answerable(dial, tuple(line for line in lines if line.about in tuple(map(say, abouts))))
        for dial, abouts in (
            *_stresses(report, reading),
            *_cycles(report),
            *_straightness(report, setting, reading),
            *_wear(report, reading),
        )
    )


_Row = tuple[Dial, tuple[str, ...]]


def _stresses(report: BandReport, reading: Reading) -> tuple[_Row, ...]:
    usual = ""
    if report.tension_usual_mpa is not None:
        low, high = (reading.stress(stress) for stress in report.tension_usual_mpa)
        usual = say("usual for this edge: {low} to {high}", low=low.rpartition(" ")[0], high=high)
    strand = say("{strand} in each strand", strand=reading.force(report.strand_n))
    return (
        (Dial(say("Bending over the wheels"), reading.stress(report.bending_mpa)), ("bending",)),
        (
            Dial(
                say("Tension"), reading.stress(report.tension_mpa), "; ".join(filter(None, (strand, usual)))
            ),
            ("tension",),
        ),
        (
            Dial(
                say("Twist into the guides"),
                reading.stress(report.twist_shear_mpa),
                say(
                    "in shear; the edges are pulled by {twist_edge} more",
                    twist_edge=reading.stress(report.twist_edge_mpa),
                ),
            ),
            ("twist",),
        ),
    )


def _cycles(report: BandReport) -> tuple[_Row, ...]:
    enough = report.wheel_ratio >= report.wheel_ratio_wanted * 0.97
    spared = say("and more spare the back") if enough else say("wanted: the back may crack early")
    done = (
        say("the teeth are done before the back")
        if report.fatigue_use <= 1
        else say("the back cracks before the teeth are done")
    )
    return (
        (
            Dial(
                say("Bends"),
                say("{bends_per_min} a minute", bends_per_min=f"{report.bends_per_min:.0f}"),
                say(
                    "a million in {hours_to_million_bends} hours of sawing",
                    hours_to_million_bends=f"{report.hours_to_million_bends:.0f}",
                ),
            ),
            ("bends",),
        ),
        (
            Dial(
                say("Fatigue, estimate"),
                say("{fatigue_use} of 1", fatigue_use=f"{report.fatigue_use:.2f}"),
                done,
            ),
            ("fatigue",),
        ),
        (
            Dial(
                say("Wheel over band thickness"),
                f"{report.wheel_ratio:.0f}",
                f"{report.wheel_ratio_wanted:.0f} {spared}",
            ),
            ("wheels",),
        ),
    )


def _straightness(report: BandReport, setting: CutSetting, reading: Reading) -> tuple[_Row, ...]:
    found: tuple[_Row, ...] = (
        (
            Dial(
                say("Guides"),
                say("{guide_span} apart", guide_span=reading.fine(setting.guide_span_mm)),
                say(
                    "the band is as stiff as {stiffness}",
                    stiffness=reading.stiffness(report.stiffness_n_per_mm),
                ),
            ),
            ("stiffness",),
        ),
        (
            Dial(
                say("Bow at the greatest push"),
                reading.fine(report.bow_mm),
                say("straight back, in mid span"),
            ),
            ("stiffness",),
        ),
    )
    if report.tooth_passing_hz is None:
        return found
    return (
        *found,
        (
            Dial(
                say("Teeth passing"),
                say("{tooth_passing_hz} a second", tooth_passing_hz=f"{report.tooth_passing_hz:.0f}"),
            ),
            ("bends",),
        ),
    )


def _wear(report: BandReport, reading: Reading) -> tuple[_Row, ...]:
    new, worn = (reading.fine(kerf) for kerf in report.kerf_mm)
    return (
        (Dial(say("Kerf, new to worn"), say("{low} to {high}", low=new, high=worn)), ("kerf",)),
        (
            Dial(
                say("Break-in of a new band"),
                say(
                    "{break_in_feed_share} of the feed",
                    break_in_feed_share=share(report.break_in_feed_share, 0),
                ),
                say("over its first {break_in_area}", break_in_area=reading.area(report.break_in_area_cm2)),
            ),
            ("break-in",),
        ),
    )
