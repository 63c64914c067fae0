"""Grades: what the work is made of and what is known about cutting it."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.catalog.figure import Figure


class Hazard(StrEnum):
    """Hazards of sawing a grade; the words shown for each live with the catalog's data."""

    FIRE_MAGNESIUM = "fire-magnesium"
    FIRE_TITANIUM = "fire-titanium"
    LEAD = "lead"
    BERYLLIUM = "beryllium"
    SILICA = "silica"
    CONDUCTIVE_DUST = "conductive-dust"
    FIBRE_DUST = "fibre-dust"
    WOOD_DUST = "wood-dust"
    PLASTIC_DUST = "plastic-dust"
    PVC_FUME = "PVC-fume"
    PTFE_FUME = "PTFE-fume"
    ACETAL_FUME = "acetal-fume"
    METAL_MIST = "metal-mist"
    HOT_CHIPS = "hot-chips"


@dataclass(frozen=True, slots=True)
class UnitPower:
    """Unit power, kW/(cm3/s), of one hardness span: from ``hb_low`` up to, not with, ``hb_high``."""

    hb_low: float
    hb_high: float
    figure: Figure


@dataclass(frozen=True, slots=True)
class Kienzle:
    """Specific cutting force kc = kc1.1 * h**-mc, N/mm2 with h in mm. One entry for each source."""

    kc11: Figure
    mc: float
    group: int


@dataclass(frozen=True, slots=True)
class Grade:
    """One grade in its usual condition.

    ``name`` is the key ("4140"); ``aliases`` every other way people write it; ``designations`` maps a system
    (AISI/SAE, UNS, EN) to its designation, with a leading "~" where it is only the nearest. ``group`` names
    the cutting group ("alloy steel"), whose area rates are in ``rate_bimetal`` and ``rate_carbide``
    (cm2/min). ``band_speed`` is m/min for a bimetal band, coolant, 102 mm in the cut. ``chip_um`` is the
    planning range of feed per tooth (value = target, low/high = range), micrometres. ``hb`` is Brinell
    hardness in the condition stated and ``hb_annealed`` the hardness for which the band speed was published.
    ``coolant``: "flood", "dry" or "mist"; ``soft_gummy`` grades want the coarser pitch.
    """

    name: str
    aliases: tuple[str, ...]
    designations: tuple[tuple[str, str], ...]
    group: str
    family: str
    condition: str
    density_kg_per_m3: Figure
    hb: Figure
    hb_annealed: float
    band_speed: Figure
    rate_bimetal: Figure | None
    rate_carbide: Figure | None
    chip_um: Figure
    kienzle: tuple[Kienzle, ...]
    unit_power: tuple[UnitPower, ...]
    hazards: tuple[Hazard, ...]
    coolant: str
    soft_gummy: bool
    work_hardens: bool
    chip_bulking: Figure
    structural_row: bool = False
    """Whether the published speed already speaks of rolled shapes, so that no shape correction is due."""
    note: str = ""
    band_life: Figure | None = None
    """Area (cm2) that a bimetal band of about 4.6 m cuts in this grade before it is worn out."""
    fire_speed: Figure | None = None
    """Band speed (m/min) above which chips may catch fire: warn from ``low``, never above ``high``."""
