"""The outline as the band meets it for a setting."""

from kerfsmith.catalog.section import Section
from kerfsmith.cutting.present import present, ways_to_lie
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.geometry.lay import Lie, lies
from kerfsmith.geometry.outline import Outline


def width_in_vise_mm(section: Section, setting: CutSetting) -> float:
    """Extent of one bar between the jaws, mm, over which a mitred cut slants."""
    return _lie_of(section, setting).outline.width_mm


def met_outline(section: Section, setting: CutSetting, cant_deg: float = 0.0) -> Outline:
    """The section laid or bundled as the setting says, in the plane of the cut, the band drawn level.

    ``cant_deg`` is the saw's own. A lie that isn't known by its name any more is drawn as the usual one.
    """
    lie = _lie_of(section, setting)
    work = present(section, lie, angle_deg=setting.angle_deg, bundle=setting.bundle, cant_deg=cant_deg)
    return work.scan.outline


def _lie_of(section: Section, setting: CutSetting) -> Lie:
    ways = ways_to_lie(section, setting.bundle) or lies(section.shape)
    return next((way for way in ways if way.name == setting.lie), ways[0])
