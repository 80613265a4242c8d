"""What every sheet has on all of its pages: marks, language, running head and foot."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from author.procedure.document import Procedure
from author.publish import palette
from author.publish.lookup import Data, shortened

STATES = {
    "draft": "Draft, not approved",
    "in_review": "In review, not approved",
    "approved": "Approved",
    "superseded": "Superseded, do not use",
    "withdrawn": "Withdrawn, do not use",
}
# The gravest first.
_MARKS = {"withdrawn": "WITHDRAWN", "superseded": "SUPERSEDED"}
_HEAD_LETTERS = 62


def frame(
    procedures: Iterable[Procedure], *, draft: bool, title: str, foot: str, demo: bool = False
) -> Data:
    """Return what the frame of a sheet's pages shows.

    Args:
        procedures: what the sheet is made from, at least one; the first sets the language.
        draft: whether one of them still has errors, so that every page is marked.
        title: title of the sheet, also for its metadata.
        foot: what the sheet is about, at the foot of each page.
        demo: true where the sheet has invented data of its own.
    """
    given = [*procedures]
    states = [one.state for one in given]
    mark = next((word for state, word in _MARKS.items() if state in states), None)
    language, _, region = given[0].language.partition("-")
    return {
        "colours": palette.as_data(),
        "mark": "DRAFT" if draft else mark,
        "demo": demo or any(one.data == "demo" for one in given),
        "language": language,
        "region": region or None,
        "title": title,
        "short_title": shortened(title, _HEAD_LETTERS if mark else _HEAD_LETTERS + 28),
        "foot": foot,
        "metadata": {
            "title": title,
            "purpose": foot,
            "keywords": [word for one in given for word in (one.id, f"revision {one.revision}")],
        },
    }


def texts_of(data: object, place: str) -> Iterator[tuple[str, str]]:
    """Yield every text of a sheet's data with the place it stands at, in words.

    Args:
        data: page data or a part of it.
        place: where it stands, told with each text unless a step says better.
    """
    if isinstance(data, str):
        yield place, data
    elif isinstance(data, dict):
        if "action" in data and "number" in data:
            place = f"{place}, step {data['number']}"
        for value in data.values():
            yield from texts_of(value, place)
    elif isinstance(data, list):
        for value in data:
            yield from texts_of(value, place)
