"""Heats and the certificates that speak for them."""

import hashlib
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.heat import MOST_CERTIFICATE_BYTES, Certificate, Heat, kind_of_file
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class AttachCertificate:
    """The file called ``name`` speaks for a heat."""

    certificate_id: str
    heat: str
    name: str


def add_heat(records: Records, heat: Heat, *, by: Person, at: datetime) -> Heat | Refusal:
    """Keep a heat, or what is newly known of it."""

    def body(change: Change) -> Heat:
        change.heats.put_heat(heat)
        return heat

    return act(records, Verb.ADD_HEAT, body, answer_as=Heat, told=heat, subject=heat.number, by=by, at=at)


def attach_certificate(
    records: Records, told: AttachCertificate, content: bytes, *, by: Person, at: datetime
) -> Certificate | Refusal:
    """Put a file on record as a certificate. Its kind is told by its content, whatever its name says.

    Refused: any other kind than PDF, PNG and JPEG, a file too large, a heat that isn't known.
    """

    def body(change: Change) -> Certificate:
        if len(content) > MOST_CERTIFICATE_BYTES:
            most = MOST_CERTIFICATE_BYTES // 1_000_000
            raise Refused(
                "file-too-large",
                sentence("the file is larger than {most} MB", most=most),
                "Scan it coarser, or in parts",
            )
        kind = kind_of_file(content)
        if kind is None:
            raise Refused(
                "file-kind", "the file is no whole PDF, PNG or JPEG", "Save the certificate as one of these"
            )
        if change.heats.heat(told.heat) is None:
            raise Refused(
                "unknown-heat", sentence("no heat {heat} is on record", heat=told.heat), "Add the heat first"
            )
        digest = hashlib.sha256(content).hexdigest()
        name = told.name.replace("\\", "/").rsplit("/", 1)[-1].strip() or "certificate"
        certificate = Certificate(
            id=told.certificate_id,
            heat=told.heat,
            name=name[:200],
            kind=kind,
            size=len(content),
            digest=digest,
            added_by=by.name,
            added_at=at,
        )
        change.heats.keep_file(digest, kind, content)
        change.heats.attach(certificate)
        return certificate

    return act(
        records,
        Verb.ATTACH_CERTIFICATE,
        body,
        answer_as=Certificate,
        told=told,
        subject=told.heat,
        by=by,
        at=at,
    )
