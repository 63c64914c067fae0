"""Making the plan's pages from the plan."""

from collections import Counter
from collections.abc import Sequence
from datetime import date
from itertools import groupby

from markupsafe import Markup

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.plan import Plan, PlanGroup, PlanStatus, SawTried
from kerfsmith.planning.what_if import WhatIf
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.told import Told
from kerfsmith.web.drawing.legend import bar_legend
from kerfsmith.web.drawing.section import section_drawing
from kerfsmith.web.pages.plan.bars import bar_sheet, group_strip, place_of
from kerfsmith.web.pages.plan.rules import RulesView, rules_view
from kerfsmith.web.pages.plan.view import (
    Attention,
    GroupCard,
    GroupPage,
    IndexEntry,
    PlanPage,
    SawIndex,
    Strip,
    TriedSaw,
)
from kerfsmith.web.pages.plan.words import (
    cost_words,
    due_of,
    gap_words,
    hours_of,
    hours_together,
    lead_sentences,
    shortage_words,
    state_of,
    yield_of,
    yield_words,
)
from kerfsmith.web.reading import Reading, hours, seconds, share
from kerfsmith.web.settings import Dial, angle_picture, cut_words, misfit_words, setting_view, short_dials
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say, say_many

MOST_STRIPS = 4
"""Patterns shown on the plan's page; the rest is on the group's own."""


class PlanMaker:
    """Makes pages of one plan for one reader on one day."""

    def __init__(self, plan: Plan, saws: Sequence[SawSheet], reading: Reading, today: date) -> None:
        self.plan, self.reading, self.today = plan, reading, today
        self._saws = {saw.id: saw for saw in saws}
        spoken = [_cautions(group) for group in plan.groups if group.settings]
        self._shared = _held_by_most(spoken)

    def page(self) -> PlanPage:
        """The whole plan."""
        groups = sorted(
            self.plan.groups, key=lambda group: (group.saw_name, group.first_due or date.max, group.id)
        )
        attention = self._attention()
        return PlanPage(
            cautions=tuple(map(self.reading.told, self._shared)),
            lead=lead_sentences(self.plan),
            figures=self._figures(),
            attention=attention,
            has_late=any(item.kind in ("late", "short", "cannot") for item in attention),
            index=tuple(
                self._saw_index(name, tuple(found)) for name, found in groupby(groups, lambda g: g.saw_name)
            ),
            groups=tuple(self._card(group, f"g{at}") for at, group in enumerate(groups, 1)),
            legend=bar_legend(),
        )

    def group_page(self, group: PlanGroup, costs: Sequence[WhatIf] | None = None) -> GroupPage:
        """One group in full; ``costs`` are what its rules cost, None where nobody has asked."""
        return GroupPage(
            cautions=tuple(map(self.reading.told, _cautions(group))),
            card=self._card(group, "g"),
            cuts=tuple(
                angle_picture(group.section, setting, self._saws.get(setting.saw), self.reading, f"cut{at}")
                for at, setting in enumerate((*group.settings, *group.bundle_settings))
            ),
            bars=tuple(
                bar_sheet(bar, group, self._saws.get(group.saw), self.reading, f"bar{at}")
                for at, bar in enumerate(group.bars)
            ),
            times=(
                Dial(
                    say("Sawing"),
                    seconds(group.times.sawing_s),
                    say(
                        "{low} to {high}",
                        low=seconds(group.times.sawing_low_s),
                        high=seconds(group.times.sawing_high_s),
                    ),
                ),
                Dial(say("Feeding the bar"), seconds(group.times.indexing_s)),
                Dial(say("Loading bars"), seconds(group.times.loading_s), _loads_words(group)),
                Dial(say("Putting pieces down"), seconds(group.times.unloading_s)),
                Dial(say("All of it"), seconds(group.times.total_s)),
            ),
            mass=say("{mass_kg_per_m} per metre", mass_kg_per_m=self.reading.mass(group.mass_kg_per_m))
            if self.reading.is_metric
            else say(
                "{mass_kg_per_m} per foot", mass_kg_per_m=self.reading.mass(group.mass_kg_per_m * 0.3048)
            ),
            rules=self.rules(group, costs) if group.bars else None,
        )

    def rules(self, group: PlanGroup, costs: Sequence[WhatIf] | None) -> RulesView:
        """What each rule of a group costs."""
        return rules_view(f"{link('plan', group.id)}?rules=weighed", costs, self.reading)

    def _figures(self) -> tuple[Dial, ...]:
        plan, all_hours = self.plan, hours_together(self.plan.groups)
        units = {group.cost_unit for group in plan.groups if group.bars}
        found = [
            Dial(
                say("Pieces"),
                say(
                    "{pieces_planned} of {pieces_wanted}",
                    pieces_planned=plan.pieces_planned,
                    pieces_wanted=plan.pieces_wanted,
                ),
                say("planned, of those wanted"),
            ),
            Dial(say("Bars"), f"{plan.bars_used}", say("and remnants taken")),
            Dial(say("Saw time"), hours(all_hours.likely), all_hours.span),
            Dial(say("Yield"), share(yield_of(plan.groups)), say("of the bars' length is pieces")),
        ]
        if len(units) == 1:
            unit = units.pop()
            cost, bound = sum(g.cost for g in plan.groups), sum(g.lower_bound for g in plan.groups)
            found.append(
                Dial(
                    say("Cost of bars"),
                    cost_words(cost, unit),
                    say("least possible {bound}", bound=cost_words(bound, unit)),
                )
            )
        return tuple(found)

    def _attention(self) -> tuple[Attention, ...]:
        found = []
        for at, group in enumerate(sorted(self.plan.groups, key=lambda group: group.first_due or date.max)):
            named = f"{group.grade}, {group.section.name}"
            href, due = link("plan", group.id), due_of(group.first_due, self.today)
            if group.status is PlanStatus.CANNOT:
                found.append(
                    (
                        0,
                        at,
                        Attention(
                            "cannot",
                            say("cannot"),
                            f"{named}: {self.reading.told(_first_reason(group))}",
                            href,
                        ),
                    )
                )
            elif group.status is PlanStatus.SHORT:
                found.append(
                    (1, at, Attention("short", say("short"), f"{named}: {shortage_words(group)}", href))
                )
            elif any(bar.kind is BarKind.TO_BUY for bar in group.bars):
                found.append(
                    (2, at, Attention("buy", say("to buy"), f"{named}: {shortage_words(group)}", href))
                )
            if due.kind == "late":
                found.append((2, at, Attention("late", say("late"), f"{named}: {due.words}", href)))
            elif due.kind == "soon":
                found.append((3, at, Attention("soon", say("soon"), f"{named}: {due.words}", href)))
        left_out = sum(finding.is_error for finding in self.plan.findings)
        if left_out:
            text = say_many(
                "1 row of the order could not be read and is not planned",
                "{count} rows of the order could not be read and are not planned",
                left_out,
            )
            found.append((1, -1, Attention("short", say("left out"), text, "/orders#findings")))
        return tuple(item for _, _, item in sorted(found, key=lambda entry: entry[:2]))

    def _saw_index(self, name: str, groups: tuple[PlanGroup, ...]) -> SawIndex:
        ids = [group.id for group in self._ordered()]
        entries = tuple(
            IndexEntry(
                f"g{ids.index(group.id) + 1}",
                group.grade,
                group.section.name,
                state_of(group),
                due_of(group.first_due, self.today),
            )
            for group in groups
        )
        return SawIndex(name or say("No saw takes it"), hours(hours_together(groups).likely), entries)

    def _ordered(self) -> list[PlanGroup]:
        return sorted(
            self.plan.groups, key=lambda group: (group.saw_name, group.first_due or date.max, group.id)
        )

    def _card(self, group: PlanGroup, anchor: str) -> GroupCard:
        time = hours_of(group.times)
        setting = group.settings[0] if group.settings else None
        hidden = len(group.bars) - MOST_STRIPS
        return GroupCard(
            anchor=anchor,
            href=link("plan", group.id),
            ticket_href=f"/ticket.pdf?group={link(group.id)[1:]}",
            labels_href=f"/labels.pdf?group={link(group.id)[1:]}",
            grade=group.grade,
            section=group.section.name,
            saw_name=group.saw_name,
            state=state_of(group),
            due=due_of(group.first_due, self.today),
            pieces=say(
                "{pieces_planned} of {pieces}",
                pieces_planned=group.pieces_planned,
                pieces=say_many("1 piece", "{count} pieces", group.pieces_wanted),
            ),
            drawing=self._drawing(group, f"{anchor}-section"),
            setting=setting_view(setting, self.reading) if setting else None,
            more_angles=tuple(cut_words(one) for one in (*group.settings[1:], *group.bundle_settings)),
            dials=short_dials(setting, self.reading) if setting else (),
            hours=time.words,
            hours_span=time.span,
            strips=self._strips(group, anchor),
            more_strips=say(
                "{more_patterns} on its own sheet",
                more_patterns=say_many("1 more pattern", "{count} more patterns", hidden),
            )
            if hidden > 0
            else "",
            yield_words=yield_words(group) if group.bars else "",
            gap_words=gap_words(group),
            tried=tuple(_tried_saw(saw, group, self.reading) for saw in group.tried),
            cautions=tuple(
                self.reading.told(text)
                for text in (setting.cautions if setting else ())
                if text not in self._shared
            ),
            unplanned=tuple(
                f"{one.count} × {one.mark}: {self.reading.told(one.reason)}" for one in group.unplanned
            ),
            notes=tuple(map(self.reading.told, group.notes)),
        )

    def _drawing(self, group: PlanGroup, key: str) -> Markup:
        return section_drawing(
            group.section.shape.outline(), name=group.section.name, reading=self.reading, key=key
        )

    def _strips(self, group: PlanGroup, anchor: str) -> tuple[Strip, ...]:
        return tuple(
            Strip(
                times=f"{bar.times} ×",
                bar=bar.bar_id,
                place=f"{self.reading.length(bar.length_um)}, {place_of(bar)}",
                at_once=say("{at_once} at once", at_once=bar.at_once) if bar.at_once > 1 else "",
                picture=group_strip(bar, group, self._saws.get(group.saw), self.reading, f"{anchor}-b{at}"),
            )
            for at, bar in enumerate(group.bars[:MOST_STRIPS])
        )


def _loads_words(group: PlanGroup) -> str:
    """How often the saw is loaded, where that is less often than bars are taken."""
    if group.loads == group.bars_used:
        return ""
    return say(
        "{bars} in {loads}",
        bars=say_many("1 bar", "{count} bars", group.bars_used),
        loads=say_many("1 load", "{count} loads", group.loads),
    )


def _tried_saw(tried: SawTried, group: PlanGroup, reading: Reading) -> TriedSaw:
    """What became of one saw in the choice."""
    if not tried.fits:
        return TriedSaw(
            tried.saw_name,
            False,
            say("does not take it"),
            tuple(misfit_words(misfit, reading) for misfit in tried.misfits),
        )
    told = [] if tried.hours is None else [hours(tried.hours)]
    told += [] if tried.cost is None else [cost_words(tried.cost, group.cost_unit)]
    chosen = tried.saw == group.saw
    return TriedSaw(tried.saw_name, chosen, ", ".join(told) or say("takes it"), ())


def _held_by_most(spoken: Sequence[tuple[Told, ...]]) -> tuple[Told, ...]:
    """Cautions that more than half of the groups share, said once for every cut: the safe side."""
    counted = Counter(text for texts in spoken for text in texts)
    return tuple(text for text, count in counted.items() if count > len(spoken) / 2 and len(spoken) > 1)


def _cautions(group: PlanGroup) -> tuple[Told, ...]:
    """What the settings of a group say, each once; what one of several says alone names its head angle."""
    settings = (*group.settings, *group.bundle_settings)
    said: dict[Told, None] = {}
    for setting in settings:
        for text in setting.cautions:
            by_all = all(text in other.cautions for other in settings)
            said.setdefault(text if by_all else Told(f"{cut_words(setting)}: {text.marked}"))
    return tuple(said)


def _first_reason(group: PlanGroup) -> Told:
    if group.unplanned:
        return group.unplanned[0].reason
    misfits = [misfit.text for saw in group.tried for misfit in saw.misfits]
    return misfits[0] if misfits else Told(say("no saw takes it"))
