"""Sections of the shop's own: a drawn one kept under a name, called otherwise, taken away."""

from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.naming import folded
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.section_words import WORDS
from kerfsmith.errors import UnknownName, UnreadableText
from kerfsmith.geometry.shapes import Drawn
from kerfsmith.shop.own_words import OwnSection
from kerfsmith.shop.person import Person
from kerfsmith.units.length import Unit
from kerfsmith.units.told import Told, joined, sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused

LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class RenameSection:
    """A drawn section and the name it is to have."""

    name: str
    to: str


def keep_section(
    records: Records, section: Section, file: str, standard: Catalog, *, by: Person, at: datetime
) -> OwnSection | Refusal:
    """Keep a drawn section under its name: from then on it is read wherever sections are named.

    ``standard`` are the tables without the shop's own sections. Refused for a name that says something else
    already, for an outline that is on record, and for outlines that nothing joins.
    """

    def body(change: Change) -> OwnSection:
        shape = section.shape
        if not isinstance(shape, Drawn):
            raise Refused(
                "not-drawn",
                sentence("{section} is no drawing", section=section.name),
                "Write its shape and sizes instead",
            )
        apart = len(shape.outline().bodies)
        if apart > 1:
            raise Refused(
                "outlines-apart",
                sentence(
                    "the drawing holds {apart} outlines that nothing joins, and a bar is one", apart=apart
                ),
                "Leave one of them, with its holes, in the drawing",
            )
        known = change.own.sections()
        _refuse_name(section.name, standard, known)
        same = next((own for own in known if own.section.key == section.key), None)
        if same is not None:
            raise Refused(
                "section-known",
                sentence("the same outline is on record as {section}", section=same.section.name),
                sentence("Use that one, or call {section} by the new name", section=same.section.name),
            )
        kept = OwnSection(section, file, at, by.name)
        change.own.keep_section(kept)
        return kept

    return act(
        records,
        Verb.KEEP_SECTION,
        body,
        answer_as=OwnSection,
        told={"name": section.name, "file": file, "key": section.key},
        subject=section.name,
        by=by,
        at=at,
    )


def rename_section(
    records: Records, told: RenameSection, standard: Catalog, *, by: Person, at: datetime
) -> OwnSection | Refusal:
    """Call a drawn section otherwise. Refused while it stands anywhere under the name it has."""

    def body(change: Change) -> OwnSection:
        own = _unused(change, told.name)
        others = tuple(one for one in change.own.sections() if one.section.key != own.section.key)
        _refuse_name(told.to, standard, others)
        shape = own.section.shape
        assert isinstance(shape, Drawn)
        named = replace(own.section, name=told.to, shape=replace(shape, name=told.to))
        kept = OwnSection(named, own.file, at, by.name)
        change.own.drop_section(own.section.name)
        change.own.keep_section(kept)
        return kept

    return act(
        records,
        Verb.RENAME_SECTION,
        body,
        answer_as=OwnSection,
        told=told,
        subject=told.name,
        by=by,
        at=at,
    )


def drop_section(records: Records, name: str, *, by: Person, at: datetime) -> OwnSection | Refusal:
    """Take a drawn section away. Refused while it stands anywhere; what was cut of it keeps its outline."""

    def body(change: Change) -> OwnSection:
        own = _unused(change, name)
        change.own.drop_section(own.section.name)
        return own

    return act(records, Verb.DROP_SECTION, body, answer_as=OwnSection, told=name, subject=name, by=by, at=at)


def _unused(change: Change, name: str) -> OwnSection:
    """The section of that name. Raises Refused where there is none or it is in use."""
    wanted = folded(name)
    own = next((one for one in change.own.sections() if folded(one.section.name) == wanted), None)
    if own is None:
        raise Refused(
            "unknown-section",
            sentence("no drawn section is called {name}", name=name),
            "Look at the sections",
        )
    use = change.own.section_use(own.section.key)
    if use.any:
        places = {
            Told("line on the book"): use.lines,
            Told("entry of the rack"): use.bars,
            Told("open run"): use.runs,
        }
        told = joined(
            ", ",
            (sentence("{count} × {what}", count=count, what=what) for what, count in places.items() if count),
        )
        raise Refused(
            "section-in-use",
            sentence("{section} is in use: {told}", section=own.section.name, told=told),
            "Finish that or take it off first",
        )
    return own


def _refuse_name(name: str, standard: Catalog, known: tuple[OwnSection, ...]) -> None:
    """Raise Refused for a name that can't be one, or that says something already."""
    if not folded(name) or len(name) > LONGEST_NAME or not name.isprintable() or name != name.strip():
        raise Refused(
            "no-name",
            sentence("that is no name for a section: {name}", name=f"{name!r}"),
            sentence("Give it up to {longest_name} characters", longest_name=LONGEST_NAME),
        )
    if all(word in WORDS for word in name.casefold().split()):
        raise Refused(
            "name-taken",
            sentence("{name} is a word for a shape", name=f"{name!r}"),
            "Give it a name of its own",
        )
    if any(folded(own.section.name) == folded(name) for own in known):
        raise Refused(
            "name-taken",
            sentence("another drawn section is called {name}", name=name),
            "Give it another name",
        )
    said = _said(name, standard)
    if said is not None:
        raise Refused(
            "name-taken",
            sentence("{name} is read as {said} already", name=f"{name!r}", said=said.name),
            "Give it a name of its own",
        )


def _said(name: str, standard: Catalog) -> Section | None:
    """What the name says without the drawing."""
    try:
        return read_section(name, standard, bare=Unit.MM)
    except (UnreadableText, UnknownName):
        return None
