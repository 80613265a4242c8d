"""How each part of the job is got: ordered, ordered in case, or out of a kit."""

from __future__ import annotations

from collections.abc import Sequence

from author.proposals.things.called_new import called_new
from author.proposals.things.gathering import Item
from author.proposals.things.kits import in_kits
from author.proposals.things.named import Thing
from author.proposals.things.ordering import Ordered, orderings
from author.proposals.things.used_again import used_again

_WAYS: tuple[tuple[Ordered, str], ...] = (
    ("always", "yes"),
    ("never", "no"),
    ("in_case", "in case"),
)


class Supply:
    """What was said of how parts are got."""

    def __init__(
        self, texts: Sequence[str], things: Sequence[Thing], items: Sequence[Item]
    ) -> None:
        """Find it.

        Args:
            texts: the sentences.
            things: what is named in them, in the order said.
            items: the same, each thing once.
        """
        self._told = called_new(texts, things) | orderings(texts, things)
        self._kits = in_kits(texts, things)
        self._again = used_again(texts, things)
        self._items = items

    def ordered(self, item: Item) -> str:
        """Return whether a part is said to be ordered: "yes", "in case", "no" or nothing.

        What comes in a kit is not, and the kit is. "New pins, no, I'm using the old pins": not.
        """
        if not self._again.isdisjoint(item.mentions):
            return "no"
        told = {self._told.get(mention) for mention in item.mentions}
        found = next((word for way, word in _WAYS if way in told), "")
        if found:
            return found
        mentions = set(item.mentions)
        if mentions & self._kits.keys():
            return "no"
        return "yes" if mentions & set(self._kits.values()) else ""

    def kit_of(self, item: Item) -> str:
        """Return the kit that a part is said to come in, with its number, or nothing."""
        kits = {self._kits[mention] for mention in item.mentions if mention in self._kits}
        named = (one for one in self._items if kits and not kits.isdisjoint(one.mentions))
        return next((f"{one.name} {one.number or ''}".strip() for one in named), "")
