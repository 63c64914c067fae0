"""The stages that further pages of a shop stand on, beside backstage and floor; None has no pages."""

from dataclasses import dataclass, fields

from kerfsmith.web.export_stage import ExportStage
from kerfsmith.web.fault_stage import FaultStage
from kerfsmith.web.learning_stage import LearningStage
from kerfsmith.web.manual_stage import ManualStage
from kerfsmith.web.program_stage import ProgramStage
from kerfsmith.web.quote_stage import QuoteStage
from kerfsmith.web.rules_stage import RulesStage
from kerfsmith.web.saw_stage import SawStage
from kerfsmith.web.section_stage import SectionStage
from kerfsmith.web.table_stage import TableStage
from kerfsmith.web.underway import Bench
from kerfsmith.web.week_stage import WeekStage
from kerfsmith.web.which_saw_stage import WhichSawStage


@dataclass(frozen=True, slots=True)
class Stages:
    """What is behind the pages of faults, of the week, and of whatever else a shop keeps."""

    faults: FaultStage | None = None
    quotes: QuoteStage | None = None
    bench: Bench | None = None
    saws: SawStage | None = None
    which_saw: WhichSawStage | None = None
    week: WeekStage | None = None
    exports: ExportStage | None = None
    manual: ManualStage | None = None
    programs: ProgramStage | None = None
    learning: LearningStage | None = None
    rules: RulesStage | None = None
    sections: SectionStage | None = None
    own_tables: TableStage | None = None

    def there(self) -> tuple[tuple[str, bool], ...]:
        """Each stage's name, and whether it is there."""
        return tuple((each.name, getattr(self, each.name) is not None) for each in fields(self))


NO_STAGES = Stages()
"""A face without further pages."""
