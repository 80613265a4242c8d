"""Parts that come off with another: "carrier off, the gasket and the spacer come with it"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

_LEAD = r"(?:(?:the|its|an?|that|both|old|then|all) ){0,3}"
_ONE = rf"{_LEAD}\x02\d+\x03"
_LIST = rf"(?P<list>{_ONE}(?:(?:,| and|,? plus|, and|,? then|, and then) {_ONE})*)"
_ENDED = (
    r"(?=\W*$|[.,;:!?]|,? (?:behind|under|underneath|on the back of|inside) (?:it|that|them)\b"
    r"|,? (?:too|as well|with it|with them|behind)\b)"
)
_OFF = r"(?:off|out|away)"
_ALONG = (
    # "The carrier comes off with the gasket and the spacer behind it", "… away and the gasket".
    re.compile(rf"\b{_OFF}(?: now)?(?:,? with|,? and) {_LIST}{_ENDED}", re.IGNORECASE),
    # "The gasket and the spacer come with it".
    re.compile(
        rf"{_LIST}(?:,| will| should|'ll)? (?:all |both )?(?:com(?:es?|ing)|drops?|slides?|lifts?)"
        rf" (?:{_OFF} )?(?:along )?with (?:it|them|that)\b",
        re.IGNORECASE,
    ),
    # "Carrier, gasket and spacer all come off", "the carrier, the gasket and the spacer off".
    re.compile(
        rf"{_LIST} (?:all |both )?(?:comes? |lifts? |slides? )?(?:straight )?{_OFF}"
        r"(?=\W*$|[.,;:!?]| and\b| now\b)",
        re.IGNORECASE,
    ),
    # "Carrier off, gasket, spacer": things and nothing else up to the end.
    re.compile(rf"\b{_OFF}, {_LIST}\W*$", re.IGNORECASE),
)


def come_along(text: str, names: Sequence[tuple[int, int]]) -> Iterator[int]:
    """Yield which of the parts of a sentence are said to come off with others.

    Args:
        text: the sentence.
        names: where the names of its parts begin and end, in their order.
    """
    masked, at = "", 0
    for number, (begin, end) in enumerate(names):
        if begin < at:
            return
        masked += f"{text[at:begin]}\x02{number}\x03"
        at = end
    masked += text[at:]
    for pattern in _ALONG:
        for found in pattern.finditer(masked):
            yield from map(int, re.findall(r"\x02(\d+)\x03", found["list"]))
