"""The verbs of spoiling something, as they are listed for the warnings."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from author.proposals.language.verbs import forms
from author.resources import load_own_table


@cache
def spoiling_verbs() -> frozenset[str]:
    """Return the verbs that tell of something spoilt for good, base forms."""
    return frozenset(load_own_table("harm_words.yaml")["signs"]["spoiling"]["verbs"].split())


def all_forms(verbs: Iterable[str]) -> frozenset[str]:
    """Return verbs in all their forms.

    Args:
        verbs: base forms.
    """
    return frozenset(one for verb in verbs for one in (verb, *forms(verb)))
