"""The outline as the band meets it for a setting."""

from kerfsmith.catalog.section import Section
from kerfsmith.cutting.present import present
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.errors import UnknownName
from kerfsmith.geometry.lay import lie_called, lies
from kerfsmith.geometry.outline import Outline


def met_outline(section: Section, setting: CutSetting) -> Outline:
    """The section laid, bundled and seen in the plane of the cut, as the setting says."""
    try:
        lie = lie_called(section.shape, setting.lie)
    except UnknownName:
        lie = lies(section.shape)[0]
    return present(section, lie, angle_deg=setting.angle_deg, bundle=setting.bundle).scan.outline
