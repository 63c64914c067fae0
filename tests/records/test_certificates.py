"""Certificates: only what is a PDF, PNG or JPEG by its content is kept, once, and served as it came."""

import hashlib
import io

import pypdf
import pytest
import segno
from sqlalchemy import Engine, delete, update
from sqlalchemy.exc import DatabaseError
from tests.workflow.shop_floor import AT, LEAD

from kerfsmith.records import tables
from kerfsmith.records.store import Store
from kerfsmith.shop.heat import MOST_CERTIFICATE_BYTES, Certificate, FileKind, Heat, kind_of_file
from kerfsmith.workflow.keep_heat import AttachCertificate, add_heat, attach_certificate
from kerfsmith.workflow.refusal import Refusal


def pdf() -> bytes:
    writer = pypdf.PdfWriter()
    writer.add_blank_page(200, 200)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def picture() -> bytes:
    out = io.BytesIO()
    segno.make("H1", micro=False).save(out, kind="png")
    return out.getvalue()


JPEG_MARKS = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00\xff\xd9"
"""Start of image, JFIF header and end of image, by hand after ITU-T T.81 annex B and T.871."""

FILES = {FileKind.PDF: pdf(), FileKind.PNG: picture(), FileKind.JPEG: JPEG_MARKS}
BAD = {
    "empty": b"",
    "page": b"<html><script>alert(1)</script></html>",
    "program": b"\x7fELF" + bytes(64),
    "script": b"#!/bin/sh\nrm -rf /\n",
    "drawing with script": b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>',
    "page that ends as a PDF": b"<html></html>%%EOF",
    "half a PDF": pdf()[: len(pdf()) // 2],
    "half a picture": picture()[:-20],
}


def attach(
    store: Store, content: bytes, certificate_id: str = "c1", name: str = "a.pdf"
) -> Certificate | Refusal:
    add_heat(store, Heat("H1", "a mill"), by=LEAD, at=AT)
    told = AttachCertificate(certificate_id, "H1", name)
    return attach_certificate(store, told, content, by=LEAD, at=AT)


@pytest.mark.parametrize("kind", FileKind)
def test_a_certificate_comes_back_as_it_was(store: Store, kind: FileKind) -> None:
    content = FILES[kind]
    kept = attach(store, content, name="..\\..\\etc/passwd.exe")
    assert isinstance(kept, Certificate)
    assert (kept.kind, kept.name) == (kind, "passwd.exe")
    assert kept.digest == hashlib.sha256(content).hexdigest()
    assert store.file(kept.digest) == content
    with store.look() as look:
        assert look.trace.certificates("H1") == (kept,)
        assert look.trace.certificate("c1") == kept


@pytest.mark.parametrize("name", BAD)
def test_anything_else_is_refused(store: Store, name: str) -> None:
    answer = attach(store, BAD[name])
    assert isinstance(answer, Refusal)
    assert answer.code == "file-kind"


def test_a_file_too_large_is_refused(store: Store) -> None:
    answer = attach(store, b"%PDF-1.7\n" + bytes(MOST_CERTIFICATE_BYTES) + b"%%EOF")
    assert isinstance(answer, Refusal)
    assert answer.code == "file-too-large"


def test_a_heat_nobody_knows_has_no_certificate(store: Store) -> None:
    told = AttachCertificate("c1", "H9", "a.pdf")
    answer = attach_certificate(store, told, FILES[FileKind.PDF], by=LEAD, at=AT)
    assert isinstance(answer, Refusal)
    assert answer.code == "unknown-heat"


def test_certificates_are_kept_for_good(store: Store, engine: Engine) -> None:
    attach(store, FILES[FileKind.PDF])
    for statement in (delete(tables.certificates), update(tables.files).values(size=1), delete(tables.files)):
        with pytest.raises(DatabaseError, match=r"kept_for_good|kept for good"), engine.begin() as connection:
            connection.execute(statement)


def test_kinds_are_told_by_content() -> None:
    assert {kind_of_file(content) for content in FILES.values()} == set(FileKind)
    assert {kind_of_file(content) for content in BAD.values()} == {None}
