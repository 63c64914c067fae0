"""Cuts of every kind that the page of one cut must show well, reckoned in earnest."""

from tests.tables import package_tables
from tests.web.memory import MemoryBackstage

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.web.backstage import CutAnswer, CutQuestion
from kerfsmith.wiring.cut import answer_cut

CUTS = {
    "round": {"grade": "4140", "section": "round 4 in"},
    "thin tube, worn band": {"grade": "4140", "section": "CHS 60.3x5", "hb": "300", "state": "worn"},
    "wide beam": {"grade": "S355J2", "section": "HEA 300", "saw": "north"},
    "canted beam": {"grade": "S355J2", "section": "HEA 200", "saw": "yard", "angle": "45"},
    "bundle": {"grade": "4140", "section": "round 2 in", "bundle": "7"},
    "titanium": {"grade": "Ti-6Al-4V", "section": "round 80 mm"},
    "magnesium": {"grade": "AZ31B", "section": "round 80 mm"},
    "plastic": {"grade": "PTFE", "section": "round 80 mm"},
    "dry, cheapest": {"grade": "304", "section": "round 50 mm", "coolant": "dry", "choose": "cheapest"},
}


class RealCuts(MemoryBackstage):
    """The shop in memory, its cuts reckoned in earnest."""

    def catalog(self) -> Catalog:
        return package_tables()

    def cut(self, question: CutQuestion) -> CutAnswer:
        return answer_cut(question, package_tables())
