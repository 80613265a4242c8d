"""Sign-offs: every number of an approved procedure is accepted, by somebody else, as it is."""

from __future__ import annotations

from collections.abc import Iterator

from author.checks.remarks import Remark, Subject, remark
from author.procedure.review import authors_of, point_content, same_name


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on sign-offs; where they were not looked for, none."""
    procedure, sheet = subject.procedure, subject.review
    newest = max((change.revision for change in procedure.changes), default=1)
    if newest != procedure.revision:
        said = f"'changes' ends at revision {newest}, this is revision {procedure.revision}"
        yield remark("review.changes", said, ("changes",))
    if sheet is None:
        to_sign = any(True for _ in procedure.placed_points())
        if subject.review_known and procedure.state == "approved" and to_sign:
            yield remark("review.not_signed", "approved, but nobody has signed", ("state",))
        return
    latest = sheet.latest()
    authors = {same_name(name) for name in authors_of(procedure)}
    if (sheet.procedure, sheet.revision) != (procedure.id, procedure.revision):
        said = f"the sign-offs are of '{sheet.procedure}', revision {sheet.revision}"
        yield remark("review.other_revision", said, ("revision",))
    for _, path, point in procedure.placed_points():
        sign_off = latest.get(point.id)
        current = sign_off is not None and sign_off.content == point_content(procedure, point)
        if sign_off is not None and not current:
            said = f"'{point.id}' or what it rests on was changed after {sign_off.date}"
            yield remark("review.stale", said, path)
        if sign_off is not None and sign_off.verdict == "queried":
            note = f"“{sign_off.note}”" if sign_off.note else "no reason given"
            said = f"'{point.id}' is queried by {sign_off.by}: {note}"
            yield remark("review.queried", said, path)
        if sign_off is not None and same_name(sign_off.by) in authors:
            yield remark("review.own_work", f"{sign_off.by} wrote and signed '{point.id}'", path)
        accepted = current and sign_off is not None and sign_off.verdict == "accepted"
        if procedure.state == "approved" and not accepted:
            said = f"nobody has accepted '{point.id}' as it is"
            if sign_off is not None and sign_off.verdict == "queried":
                said = f"nobody has accepted '{point.id}' since {sign_off.by} queried it"
                said += f": “{sign_off.note}”" if sign_off.note else ""
            yield remark("review.not_signed", said, path)
    known = {point.id for _, _, point in procedure.placed_points()}
    for name in sorted(set(latest) - known):
        yield remark("review.no_point", f"'{name}' was signed and is not there", ("review",))
