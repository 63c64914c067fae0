"""Passwords and PINs hashed with Argon2id, as RFC 9106 has it for servers short of memory."""

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError, VerifyMismatchError

_NOBODY = "nobody's password, hashed so that an unknown name takes as long as a known one"


class Argon2Hasher:
    """`workflow.people_ports.Hasher`: 64 MiB, 3 passes, 4 lanes (RFC 9106, section 4, second choice)."""

    def __init__(self) -> None:
        self._hasher = PasswordHasher(time_cost=3, memory_cost=65_536, parallelism=4)
        self._nobody: str | None = None

    def hash(self, secret: str) -> str:
        """Hash of a secret, different each time."""
        return self._hasher.hash(secret)

    def fits(self, secret: str, hashed: str | None) -> bool:
        """Whether the hash is of this secret; as slow, and False, where there is no hash."""
        if hashed is None:
            self._nobody = self._nobody or self._hasher.hash(_NOBODY)
        try:
            return self._hasher.verify(hashed or self._nobody or "", secret) and hashed is not None
        except (VerifyMismatchError, VerificationError, InvalidHashError):
            return False
