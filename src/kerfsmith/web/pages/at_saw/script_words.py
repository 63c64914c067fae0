"""What the panel's scripts say, which also speak while there is no network: one block of JSON in the page."""

from collections.abc import Iterator
from enum import StrEnum

from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.shop.cut_log import EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import InspectionKind, Verdict
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.web.pages.at_saw.make import QUESTIONS
from kerfsmith.web.pages.at_saw.told import PANEL_VERBS
from kerfsmith.web.words import forms, say

Words = dict[str, str | dict[str, str]]
NAMED: tuple[type[StrEnum], ...] = (
    InspectionKind, Verdict, Outcome, EntryKind, ScrapReason, StopReason, RemovalReason,
)  # fmt: skip
"""What panels show by the name that the records have for it."""
REJECTED = "rejected"
"""What the panel calls a good piece that was rejected later."""


def names() -> Iterator[str]:
    """Every name of ``NAMED`` and of what a panel records."""
    yield from (str(one) for kind in NAMED for one in kind)
    yield from map(str, PANEL_VERBS)
    yield REJECTED


def panel_words() -> Words:
    """Sentences by the key that scripts ask for; counted ones in every form."""
    questions = {f"ask-{scene}": say(question) for scene, question in QUESTIONS.items()}
    return {**_link(), **_cut(), **_load(), **_at_once(), **_told(), **entry_words(), **questions} | {
        "names": {name: say(name) for name in names()}
    }


def entry_words() -> Words:
    """What the scripts of the sign-in page say: keys on the glass, and what is not sent yet."""
    return {
        "keys-for": say("Keys for {field}"),
        "keys": say("Keys"),
        "delete": say("Delete the last character"),
        "space": say("space"),
        "answer": say("the records answer {status}"),
        "unsent": forms(
            "1 entry of the panel not yet sent. It keeps the name of whoever made it.",
            "{count} entries of the panel not yet sent. They keep the name of whoever made them.",
        ),
        "unsent-away": forms(
            "1 entry of the panel not yet sent: no network. It keeps the name of whoever made it.",
            "{count} entries of the panel not yet sent: no network. They keep the name of whoever made them.",
        ),
        "set-aside": forms(
            "1 entry of the panel could not be read and is set aside; call the lead.",
            "{count} entries of the panel could not be read and are set aside; call the lead.",
        ),
    }


def _link() -> Words:
    return {
        "all-sent": say("All sent"),
        "waits": forms("1 entry not yet sent", "{count} entries not yet sent"),
        "away": say("No network"),
        "away-waits": forms("No network, 1 entry not yet sent", "No network, {count} entries not yet sent"),
        "signed-out": say("Signed out"),
        "signed-out-waits": forms(
            "Signed out, 1 entry not yet sent", "Signed out, {count} entries not yet sent"
        ),
        "not-accepted": say("Not accepted: {fault}"),
        "sign-out-first": say("Not signed out yet"),
        "sign-out-why": forms(
            "1 entry not yet sent: it goes out under your name first. Wait for the network.",
            "{count} entries not yet sent: they go out under your name first. Wait for the network.",
        ),
        "aside": forms("1 set aside", "{count} set aside"),
        "aside-title": say("This entry could not be read; call the lead"),
        "aside-what": say("“{verb}” of {time}: {why}"),
        "aside-kept": say("It is set aside at this panel and not lost; what comes after it is sent."),
        "aside-later": forms(
            "1 later entry builds on it and may be refused: then look at the bar, and count again what is "
            "there.",
            "{count} later entries build on it and may be refused: then look at the bar, and count again "
            "what is there.",
        ),
        "after-aside": say("An entry before it was set aside. Look at the bar, and count what is there."),
        "send-again": say("Send it again"),
        "strike": say("Seen to, take it off"),
    }


def _cut() -> Words:
    return {
        "count": say("{good} of {wanted}"),
        "not-stated": say("not stated"),
        "facing-done": say("Facing done"),
        "cut-done": say("Cut done"),
        "then-pieces": say("next: pieces"),
        "counts-one": say("counts one"),
        "too-little": say("too little is left: finish the bar, or measure what is left"),
        "last": say("Last: {cut}"),
        "left-of-bar": say("Left of the bar"),
        "none-cut": say("Nothing cut from this bar yet"),
        "facing-cut": say("facing cut"),
        "trim-cut": say("trim cut"),
        "piece-cut": say("{mark}, {length} {unit}, {outcome}"),
        "piece-scrapped": say("{mark}, {length} {unit}, {outcome} ({reason})"),
        "piece-rejected": say("{mark} rejected: {reason}"),
        "piece": say("{mark}, {length}"),
        "no-piece": say("no piece cut yet"),
        "good-from": say("good from {allowed}"),
        "measure": say("Measure"),
        "measure-due": say("Measure: {kind}"),
        "measured": say("Last measured: {length}, {over}"),
        "is-out": say("The piece is {verdict} by {over}"),
        "held-then": say(
            "It is held until somebody decides; then correct the stop, and measure the next piece."
        ),
        "more-held": forms("1 more after it.", "{count} more after it."),
        "doubtful": forms("Doubtful: 1", "Doubtful: {count}"),
        "band-in": say("Band in"),
        "takes-about": say("about {time}"),
        "in-since": say("In since {time}"),
        "out-about": say("out about {time}"),
        "load-off": say("Motor load…"),
        "load-on": say("Load {load}"),
    }


def _at_once() -> Words:
    return {
        "bars": forms("1 bar", "{count} bars"),
        "pieces-of": forms("1 piece: {list}", "{count} pieces: {list}"),
        "load-heading": forms("1 bar at once: {labels}", "{count} bars at once: {labels}"),
        "laid": say("{laid} of {count} loaded"),
        "counts-pieces": forms("counts 1", "counts {count}"),
        "pass-bad": say("{words}, {bad} of them no good"),
        "bar-alone": say("Bar {place} alone: {mark}, {length}"),
        "alone-misfit": say("Bar {place}: too little is left for {mark}, {length}; plan the rest anew"),
        "cut-alone": say("Cut on bar {place} alone"),
        "left-of": say("Bar {place}, {label}: {left} reckoned"),
        "piece-of-bar": say("{mark}, {length}, bar {place}"),
        "bar-left": say("Bar {place}, {label}: {left}"),
        "place-label": say("{place}: {label}"),
        "choose-bar": say("Choose the bar"),
    }


def _load() -> Words:
    wanted = say("Load one that is wanted now.")
    return {
        "bar-heading": say("Bar {label}, {words}"),
        "missing": say("{count} × {mark}, {length} {unit}"),
        "times": say("{count} × {label}"),
        "unknown-label": say("No bar on the rack is labelled {label}"),
        "key-again": say("Key the label again."),
        "other-material": say("Bar {label} is {has}, the run needs {needs}"),
        "back-to-rack": say("Put it back on the rack."),
        "other-length": say("Bar {label} has another length than is waited for"),
        "other-heat": say("Bar {label} is of heat {has}, waited for is heat {needs}"),
        "heat-unknown": say("unknown"),
        "load-wanted": wanted,
        "judged-alone": say("There is no network: this panel judged by what it knew last."),
        "worth": say("Long enough to keep"),
        "not-worth": say("Shorter than the shop keeps"),
        "no-band": say("none"),
    }


def _told() -> Words:
    return {
        "no-length": say("“{text}” is no length in {unit}"),
        "no-load": say("A load is a figure, zero or more"),
        "no-quantity": say("A quantity is a whole number"),
        "nothing-to-cut": say("There is nothing to cut from this bar"),
        "facing-next": say("The next cut is the facing cut"),
        "nothing-to-undo": say("There is nothing to undo on this bar"),
        "none-held": say("No piece is held any more"),
        "no-piece-yet": say("No piece has been cut yet"),
        "choose-piece": say("Choose the piece"),
        "key-change": say("Key a new quantity or a new length"),
        "seen": say("Seen"),
        "replanned": say("The rest of the run was planned anew"),
        "same-pieces": say("The pieces wanted are the same; the bars to load may be others."),
        "other-quantity": say("{mark}: {wanted} wanted instead of {before}."),
        "other-cut-length": say("{mark}: {length} {unit} instead of {before} {unit}."),
    }
