"""Heats, certificates and their files in the tables."""

from typing import Any

from sqlalchemy import Connection, Select, insert, select, update

from kerfsmith.records.tables import certificates, files, heats
from kerfsmith.shop.heat import Certificate, FileKind, Heat


class Heats:
    """`workflow.floor_ports.HeatBook` over the connection of one open change."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def heat(self, number: str) -> Heat | None:
        """One heat."""
        row = self._run.execute(select(heats).where(heats.c.number == number)).first()
        return Heat(row.number, row.mill, row.note) if row is not None else None

    def put_heat(self, heat: Heat) -> None:
        """Keep a heat, or what is newly known of it."""
        known = update(heats).where(heats.c.number == heat.number).values(mill=heat.mill, note=heat.note)
        if not self._run.execute(known).rowcount:
            new = insert(heats).values(number=heat.number, mill=heat.mill, note=heat.note)
            self._run.execute(new)

    def keep_file(self, digest: str, kind: FileKind, content: bytes) -> None:
        """Keep a file once, by the SHA-256 of its content."""
        if self._run.execute(select(files.c.digest).where(files.c.digest == digest)).first() is None:
            kept = {"digest": digest, "kind": kind.value, "size": len(content), "content": content}
            self._run.execute(insert(files).values(**kept))

    def attach(self, certificate: Certificate) -> None:
        """Keep a certificate of a heat."""
        self._run.execute(
            insert(certificates).values(
                id=certificate.id,
                heat=certificate.heat,
                name=certificate.name,
                digest=certificate.digest,
                added_at=certificate.added_at,
                added_by=certificate.added_by,
            )
        )


def certificate_rows() -> Select[Any]:
    """Certificates with the kind and size of their files, oldest first."""
    on_file = certificates.join(files, files.c.digest == certificates.c.digest)
    columns = (*certificates.c, files.c.kind, files.c.size)
    return select(*columns).select_from(on_file).order_by(certificates.c.number)


def read_certificate(row: Any) -> Certificate:
    """Certificate of a row."""
    return Certificate(
        id=row.id,
        heat=row.heat,
        name=row.name,
        kind=FileKind(row.kind),
        size=row.size,
        digest=row.digest,
        added_by=row.added_by,
        added_at=row.added_at,
    )
