"""Ids made from words: short, and such that a person can say them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container

from author.checks.verbs import words
from author.checks.wording import UNWRITTEN

_LENGTH = 40
_SMALL = words(
    "a an and are as at be by for from in into is it its of onto or over so that the their them "
    "then these this those to until with your"
)


def new_id(text: str, taken: Container[str], fallback: str, most: int = 4) -> str:
    """Return an id that a person can say, made from words and not taken yet.

    Args:
        text: e.g. the action of a step; small words are left out.
        taken: ids that are given already.
        fallback: what is put before where the words have no letter to begin an id with.
        most: how many words to take.
    """
    plain = text.replace("ß", "ss").replace("’", "").replace("'", "")
    flat = unicodedata.normalize("NFKD", plain).encode("ascii", "ignore")
    found = re.findall(r"[a-z0-9]+", flat.decode().lower())
    if text.startswith(UNWRITTEN):
        found = []
    telling = [word for word in found if word not in _SMALL] or found
    name = "-".join(telling[:most])[:_LENGTH].strip("-")
    if not name[:1].isalpha():
        name = f"{fallback}-{name}".strip("-")[:_LENGTH].strip("-")
    free, count = name, 1
    while free in taken:
        count += 1
        free = f"{name}-{count}"
    return free
