"""What the band of a cut goes through, as figures that answer "why?"."""

from kerfsmith.cutting.mechanics import BandReport
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.web.pages.cut.answerable import Answerable
from kerfsmith.web.reading import Reading, share
from kerfsmith.web.reasons import reason_line
from kerfsmith.web.settings import Dial


def mechanics_view(report: BandReport, setting: CutSetting, reading: Reading) -> tuple[Answerable, ...]:
    """Stress, bends, stiffness, wear and break-in of the band, each with where it comes from."""
    lines = tuple(reason_line(reason, reading) for reason in report.reasons)
    return tuple(
        Answerable(dial, tuple(line for line in lines if line.about in abouts))
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
        usual = f"usual for this edge: {low.rpartition(' ')[0]} to {high}"
    strand = f"{reading.force(report.strand_n)} in each strand"
    return (
        (Dial("Bending over the wheels", reading.stress(report.bending_mpa)), ("bending",)),
        (
            Dial("Tension", reading.stress(report.tension_mpa), "; ".join(filter(None, (strand, usual)))),
            ("tension",),
        ),
        (
            Dial(
                "Twist into the guides",
                reading.stress(report.twist_shear_mpa),
                f"in shear; the edges are pulled by {reading.stress(report.twist_edge_mpa)} more",
            ),
            ("twist",),
        ),
    )


def _cycles(report: BandReport) -> tuple[_Row, ...]:
    enough = report.wheel_ratio >= report.wheel_ratio_wanted * 0.97
    spared = "and more spare the back" if enough else "wanted: the back may crack early"
    done = (
        "the teeth are done before the back"
        if report.fatigue_use <= 1
        else "the back cracks before the teeth are done"
    )
    return (
        (
            Dial(
                "Bends",
                f"{report.bends_per_min:.0f} a minute",
                f"a million in {report.hours_to_million_bends:.0f} hours of sawing",
            ),
            ("bends",),
        ),
        (Dial("Fatigue, estimate", f"{report.fatigue_use:.2f} of 1", done), ("fatigue",)),
        (
            Dial(
                "Wheel over band thickness",
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
                "Guides",
                f"{reading.fine(setting.guide_span_mm)} apart",
                f"the band is as stiff as {reading.stiffness(report.stiffness_n_per_mm)}",
            ),
            ("stiffness",),
        ),
        (
            Dial("Bow at the greatest push", reading.fine(report.bow_mm), "straight back, in mid span"),
            ("stiffness",),
        ),
    )
    if report.tooth_passing_hz is None:
        return found
    return (*found, (Dial("Teeth passing", f"{report.tooth_passing_hz:.0f} a second"), ("bends",)))


def _wear(report: BandReport, reading: Reading) -> tuple[_Row, ...]:
    new, worn = (reading.fine(kerf) for kerf in report.kerf_mm)
    return (
        (Dial("Kerf, new to worn", f"{new} to {worn}"), ("kerf",)),
        (
            Dial(
                "Break-in of a new band",
                f"{share(report.break_in_feed_share, 0)} of the feed",
                f"over its first {reading.area(report.break_in_area_cm2)}",
            ),
            ("break-in",),
        ),
    )
