"""The sign over what only the program writes in a row of the sheet of answers."""

from __future__ import annotations

import hashlib


def sign_over(values: list[object]) -> str:
    """Return a sign over plain values: letters alone, so that nobody takes it for a number."""
    digits = hashlib.sha256(repr(values).encode()).hexdigest()[:8]
    return "".join(chr(ord("a") + int(digit, 16)) for digit in digits)
