"""Whether what is published of a procedure still says what its file in the library says."""

from __future__ import annotations

import hashlib
import re
from typing import get_args

from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.contract.yaml_writer import write_yaml
from author.errors import ReelwrightError
from author.library.shop import Shop
from author.procedure.document import Procedure, State
from author.publish.published_yaml import with_si_values
from author.serve.published import PAGE_FILE, Publication, open_published

_MADE_OF = re.compile(
    rb'<script type="application/json" id="facts">[^<]*?"content":"([0-9a-f]{64})"'
)


def is_behind(shop: Shop, published: Publication | None, one: Procedure) -> bool:
    """Whether the published work page is of the same revision, and of another content.

    A state that the library gave the procedure since is no other content.

    Args:
        shop: the library.
        published: what is published of the procedure.
        one: the procedure as its file has it.
    """
    if published is None or published.revision != one.revision:
        return False
    made_of = _made_of(shop, published)
    if made_of is None:
        return False
    now = with_si_values(one)
    if published.state in get_args(State):
        now = now.model_copy(update={"state": published.state})
    return hashlib.sha256(write_yaml(as_plain(now)).encode()).hexdigest() != made_of


def _made_of(shop: Shop, published: Publication) -> str | None:
    """Return the SHA-256 of the procedure file that the work page was made of."""
    if published.has(PAGE_FILE):
        try:
            with open_published(shop, published, PAGE_FILE) as stream:
                found = _MADE_OF.search(stream.read())
        except ReelwrightError:
            return None  # whoever opens it is told so
        if found is not None:
            return found[1].decode()
    return published.files.get(PROCEDURE_FILE)
