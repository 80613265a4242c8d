"""Who signed a procedure, in what role, when and for what, as it is printed on its front."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import asdict, dataclass

from author.procedure.document import Point, Procedure
from author.procedure.review import ReviewSheet, SignOff, point_content, same_name
from author.publish.lookup import Data

_STEPS_NAMED = 6


@dataclass(frozen=True, slots=True)
class Signature:
    """One person's signature, in words.

    Attributes:
        role: what the person is to the shop, such as ``Tool-room keeper``.
        name: name or initials.
        what: what was signed, such as ``14 of 17 numbers and points accepted``.
        date: the day, ``YYYY-MM-DD``; the last one if there are several.
    """

    role: str
    name: str
    what: str
    date: str


def signatures_of(
    procedure: Procedure, sheet: ReviewSheet | None, strange: Collection[str] = ()
) -> tuple[Signature, ...]:
    """Return the signatures that a sheet of sign-offs comes to, in the order of signing.

    A person's last word on each point counts. What was signed and has changed since is
    told, and not counted as accepted, unless somebody has accepted it as it is now. So is the
    word of somebody the library does not know.

    Args:
        procedure: the procedure as it is printed.
        sheet: the sign-offs beside it; those of another revision say nothing of this one.
        strange: names among them that the library does not know.
    """
    if sheet is None or (sheet.procedure, sheet.revision) != (procedure.id, procedure.revision):
        return ()
    points = {point.id: (placed.number, point) for placed, _, point in procedure.placed_points()}
    people: dict[tuple[str, str], dict[str, SignOff]] = {}
    content = {name: point_content(procedure, point) for name, (_, point) in points.items()}
    settled = {
        one.point
        for one in sheet.latest_of(lambda one: one.by not in strange).values()
        if one.verdict == "accepted" and one.content == content.get(one.point)
    }
    for sign_off in sheet.sign_offs:
        lapsed = sign_off.by in strange or sign_off.content != content.get(sign_off.point)
        if lapsed and (sign_off.point in settled or sign_off.point not in content):
            continue
        person = people.setdefault((same_name(sign_off.by), sign_off.role.casefold()), {})
        person[sign_off.point] = sign_off
    return tuple(_signature(content, points, [*said.values()], strange) for said in people.values())


def _signature(
    content: Mapping[str, str],
    points: Mapping[str, tuple[int, Point]],
    said: list[SignOff],
    strange: Collection[str],
) -> Signature:
    accepted, changed, queried = 0, 0, set[int]()
    for sign_off in said:
        number, _ = points[sign_off.point]
        if content[sign_off.point] != sign_off.content:
            changed += 1
        elif sign_off.verdict == "accepted":
            accepted += 1
        else:
            queried.add(number)
    words = [f"{accepted} of {len(points)} numbers and points accepted"]
    if queried:
        words.append(f"QUERIED: {_steps(sorted(queried))}")
    if changed:
        words.append(f"{changed} changed since, to be signed anew")
    if any(one.by in strange for one in said):
        words.append("NOT KNOWN to the library")
    last = max(said, key=lambda sign_off: sign_off.date)
    return Signature(last.role, last.by, "; ".join(words), last.date)


def _steps(numbers: list[int]) -> str:
    named = ", ".join(str(n) for n in numbers[:_STEPS_NAMED])
    more = len(numbers) - _STEPS_NAMED
    word = "step" if len(numbers) == 1 else "steps"
    return f"{word} {named}" + (f" and {more} more" if more > 0 else "")


def signature_rows(procedure: Procedure, signatures: Sequence[Signature]) -> list[Data]:
    """Return the rows of the table of signatures: the author first, then who signed.

    Whoever has to sign and did not has a row without ``what``. Who signed off and signed with a
    key in the same role has one row.
    """
    whole: dict[tuple[str, str], Signature] = {}
    for one in signatures:
        role = f"{one.role[:1].upper()}{one.role[1:]}"
        key = same_name(one.name), role.casefold()
        before = whole.get(key)
        # The name comes last from a key, which the library knows.
        what, date = one.what, one.date
        if before is not None:
            what, date = f"{before.what}; {what}", max(before.date, date)
        whole[key] = Signature(role, one.name, what, date)
    rows: list[Data] = [asdict(signature) for signature in whole.values()]
    roles = {s.role.casefold() for s in signatures}
    if "author" not in roles:
        names = ", ".join(procedure.review.authors) if procedure.review else ""
        rows.insert(0, {"role": "Author", "name": names, "what": None, "date": None})
    if not roles - {"author"}:
        rows.append({"role": "Reviewer", "name": "", "what": None, "date": None})
    return rows
