"""Brings an author's folder together with what others have shelved since it was taken."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from author.checks import Remark, check
from author.checks.verdict import forbids
from author.contract.procedure_file import (
    PROCEDURE_FILE,
    LoadedProcedure,
    as_plain,
    parse_procedure,
)
from author.contract.yaml_reader import YamlTree
from author.editing.addresses import Path as TreePath
from author.editing.addresses import address_of, path_of
from author.editing.comments import moved_comments
from author.editing.merging import sharing
from author.errors import FileErrors, InputError
from author.library.shelves.bases import Meeting, Together, not_asked
from author.procedure.differences import Difference, compare
from author.procedure.document import Procedure
from author.procedure.review import authors_of
from author.procedure.steps import Step
from author.tasks.library_beside import Found, merge_files, merge_sign_offs
from author.tasks.library_conflicts import ALL, Answers, Clash, Meet, Side

_SHOWN = 5
_NUMBER = re.compile(r"[0-9]+")


class ClashError(FileErrors):
    """Two people have changed the same, each in their own way; nothing was written.

    Attributes:
        clashes: each place, with what both have there.
        unasked: places that were answered, and are none of those.
    """

    def __init__(
        self, clashes: Sequence[Clash], loaded: LoadedProcedure, unasked: Sequence[str] = ()
    ) -> None:
        """Make the error.

        Args:
            clashes: each place, with what both have there.
            loaded: the procedure of the author's folder.
            unasked: places that were answered, and are none of those asked about.
        """
        wrong = [not_asked(place, loaded.file) for place in unasked]
        super().__init__([*(_fault(clash, loaded) for clash in clashes), *wrong])
        self.clashes, self.unasked = tuple(clashes), tuple(unasked)

    def as_plain(self) -> list[dict[str, str]]:
        """Return each place for programs."""
        return [
            {
                "place": one.place,
                "what": one.what,
                "mine": one.mine,
                "library": one.theirs,
                "was": one.was,
            }
            for one in self.clashes
        ]


def _fault(clash: Clash, loaded: LoadedProcedure) -> InputError:
    line, column = None, None
    try:
        path = path_of(loaded.procedure, clash.address)
        line, column = loaded.tree.place(path) if clash.address else (None, None)
    except InputError:
        pass  # it is not in the folder any more
    remedy = "Change one of the two in your folder, and shelve it again"
    if clash.place:
        remedy = f"Say --keep '{clash.place}=mine' or --keep '{clash.place}=library'"
    return InputError(str(clash), remedy=remedy, file=loaded.file, line=line, column=column)


def read_answers(given: Sequence[str]) -> dict[str, Side]:
    """Return the answers of ``--keep`` by their places.

    Raises:
        InputError: if one is no answer, or a place is answered twice.
    """
    found: dict[str, Side] = {}
    for one in given:
        place, _, side = one.rpartition("=")
        if not place or side not in {"mine", "library"}:
            raise InputError(
                f"--keep is '{one[:80]}', which is no answer",
                remedy="Write PLACE=mine or PLACE=library, with the place as it was told, or "
                f"{ALL}=mine",
            )
        if found.get(place, side) != side:
            raise InputError(f"--keep answers '{place[:80]}' twice", remedy="Leave one of them out")
        found[place] = "mine" if side == "mine" else "library"
    return found


def bring_together(meeting: Meeting, answers: Mapping[str, Side]) -> Together:
    """Return what is to be shelved where a folder meets a library that has gone on.

    Args:
        meeting: both, and what the folder was taken from.
        answers: what counts where both have changed the same, by place or ``all``.

    Raises:
        ClashError: if they have changed the same and nobody has said what counts.
        InputError: if an answer is to a question that was not asked, or what comes of both
            breaks a rule that neither breaks.
        MachineError: if a file cannot be read.
    """
    asked = Answers(answers)
    found = Found()
    base, mine, theirs = _on_one_footing(meeting)
    merged = _procedure(meeting, (base, mine, theirs), asked, found)
    merge_files(meeting, asked, found)
    merge_sign_offs(meeting, asked, found)
    if asked.open:
        raise ClashError(asked.open, meeting.mine, asked.unused())
    left = asked.unused()
    if left:
        raise not_asked(left[0], meeting.mine.file)
    if merged is None:
        msg = "nothing is open, and nothing came of both"
        raise AssertionError(msg)
    if merged not in (mine, theirs):
        _hold(merged, mine, theirs, meeting)
    both = asked.decided.values()
    return Together(
        found.contents,
        frozenset(found.kept),
        (*_stayed(base, mine, merged, decided=bool(both)), *found.mine),
        (*_stayed(base, theirs, merged, decided=bool(both)), *found.library),
        (*(_decided(clash, side) for clash, side in both), *found.notes),
        tuple(_given_up(clash, meeting) for clash, side in both if _drops(clash, side)),
        len(both),
    )


def _stayed(base: Procedure, side: Procedure, merged: Procedure, *, decided: bool) -> list[str]:
    """Return what one side has changed, without what was dropped where both had."""
    mine = list(_told(base, side))
    if not decided:
        return [said for _, said in mine]
    left = Counter(key for key, _ in _told(base, merged))
    return [said for key, said in mine if _take(left, key)]


def _decided(clash: Clash, side: Side) -> str:
    """Return what was kept and what was dropped where both had changed the same."""
    mine, theirs = f"{clash.mine} (yours)", f"{clash.theirs} (the library's)"
    kept, dropped = (mine, theirs) if side == "mine" else (theirs, mine)
    what = clash.what.removesuffix(":")
    if clash.place.startswith("sign-offs/"):
        return f"{what} is of both: the last word is {kept}."
    return f"{what} was changed by both: kept {kept}, dropped {dropped}."


def _drops(clash: Clash, side: Side) -> bool:
    """Whether what the library had is there no longer; of sign-offs every one is kept."""
    return side == "mine" and not clash.place.startswith("sign-offs/")


def _given_up(clash: Clash, meeting: Meeting) -> str:
    """Return what the library had and has no longer, for those who brought it."""
    mine, theirs = meeting.mine.procedure, meeting.theirs.procedure
    fresh = [one.by for one in mine.changes if one.by and one not in theirs.changes]
    who = fresh[-1] if fresh else ", ".join(authors_of(mine)) or "somebody who gave no name"
    said = (
        f"{date.today()}, revision {mine.revision}, shelved by {who}: "
        f"{clash.what.removesuffix(':')}: {clash.mine} kept, {clash.theirs} given up; "
        f"it was {clash.was}"
    )
    return " ".join(said.split())


def _on_one_footing(meeting: Meeting) -> tuple[Procedure, Procedure, Procedure]:
    """Return base, mine and theirs with the revision of the folder, and the state of the shelf.

    A state beyond draft is given in the library; a revision is counted up by the author.
    """
    base, mine, theirs = (one.procedure for one in (meeting.before, meeting.mine, meeting.theirs))
    base = base.model_copy(update={"revision": mine.revision})
    if theirs.revision != mine.revision:
        given = {"revision": mine.revision, "state": mine.state}
        return base.model_copy(update=given), mine, theirs.model_copy(update=given)
    if theirs.state != "draft":
        given = {"state": theirs.state}
        return base.model_copy(update=given), mine.model_copy(update=given), theirs
    return base, mine, theirs


def merge_procedures(
    base: Procedure, mine: Procedure, theirs: Procedure, answers: Answers
) -> Procedure | None:
    """Return two people's procedures as one, step by step.

    Args:
        base: what both were made of.
        mine: that of the author's folder.
        theirs: that of the library.
        answers: asked what counts where both have changed the same, and told what is open.

    Returns:
        None if something is open.
    """
    mine, theirs = sharing(base, mine), sharing(base, theirs)
    try:
        found = Meet(base, mine, theirs, answers).whole()
    except InputError as error:
        answers.tell(error.problem)
    answers.settle()
    return None if answers.open else found


def _procedure(
    meeting: Meeting,
    three: tuple[Procedure, Procedure, Procedure],
    answers: Answers,
    found: Found,
) -> Procedure | None:
    """Bring the procedure files together; return the document, None if something is open."""
    base, mine, theirs = three
    merged = merge_procedures(base, mine, theirs, answers)
    if merged is None:
        return None
    comments, added = _comments(meeting, three, merged)
    plain = as_plain(merged)
    if plain == as_plain(theirs) and not added[0]:
        if meeting.theirs.procedure.revision == mine.revision:
            found.kept.add(PROCEDURE_FILE)
            return merged
    elif plain == as_plain(mine) and not added[1]:
        return merged
    loaded = LoadedProcedure(merged, YamlTree(comments=comments), meeting.mine.file)
    data = loaded.text().encode()
    if parse_procedure(data, meeting.mine.file).procedure != merged:
        msg = "what two people have written does not read back as the same document"
        raise AssertionError(msg)
    found.contents[PROCEDURE_FILE] = data
    lost = sum(len(one.tree.dropped_comments) for one in (meeting.mine, meeting.theirs))
    if lost:
        found.notes.append(
            f"Comments that share their line with a value were left out: {lost} of both files."
        )
    return merged


Words = tuple[str, ...]


def _comments(
    meeting: Meeting, three: tuple[Procedure, Procedure, Procedure], merged: Procedure
) -> tuple[dict[TreePath, Words], tuple[bool, bool]]:
    """Return the comments of both by their places, and whether each side has changed any."""
    read = (meeting.before, meeting.mine, meeting.theirs)
    was, here, there = (
        moved_comments(document, merged, one.tree.comments)
        for document, one in zip(three, read, strict=True)
    )
    found: dict[TreePath, Words] = {}
    for path in [*here, *(path for path in there if path not in here)]:
        old, mine, theirs = (Counter(words.get(path, ())) for words in (was, here, there))
        gone = (old - mine) + (old - theirs)
        fresh = sorted(((mine - old) | (theirs - old)).elements())
        kept = Counter(old - gone)
        words = [word for word in was.get(path, ()) if _take(kept, word)]
        if theirs == old:
            words, fresh = list(here.get(path, ())), []
        elif mine in (old, theirs):
            words, fresh = list(there.get(path, ())), []
        if words or fresh:
            found[path] = (*words, *fresh)
    return found, (here != was, there != was)


def _take(counted: Counter[str], word: str) -> bool:
    counted[word] -= 1
    return counted[word] >= 0


def _hold(merged: Procedure, mine: Procedure, theirs: Procedure, meeting: Meeting) -> None:
    """Refuse what breaks a rule that neither of the two breaks.

    Raises:
        InputError: naming what is wrong.
    """
    known = {key for document in (mine, theirs) for keys, _ in _faults(document) for key in keys}
    fresh = [remark for keys, remark in _faults(merged) if not known & keys]
    if fresh:
        raise FileErrors(
            [
                InputError(
                    f"put together, {one.problem[0].lower()}{one.problem[1:]} ({one.rule.id})",
                    remedy="Neither has it alone: change yours so that it fits the library's, "
                    "and shelve it again",
                    file=meeting.mine.file,
                )
                for one in fresh[:_SHOWN]
            ]
        )


def _faults(document: Procedure) -> Iterator[tuple[frozenset[tuple[object, ...]], Remark]]:
    """Yield the faults of a document with that by which each is known in another one.

    That is its place, or what it says: an entry without an id may have moved in its list.
    """
    for remark in check(document).remarks:
        if forbids(remark):
            place = address_of(document, remark.path)
            named = [part for part in place if isinstance(part, str)]
            said = _NUMBER.sub("", remark.problem)
            yield frozenset({(remark.rule.id, *place), (remark.rule.id, said, *named)}), remark


def _told(old: Procedure, new: Procedure) -> Iterator[tuple[str, str]]:
    """Yield what one side has changed, by what it is known by, in the terms of the trade."""
    for one in compare(old, new):
        step = _step(one, old, new)
        if step is None:
            said = f"{one.place[0].upper()}{one.place[1:]}: {one.text}"
            yield said, said
        else:
            # Its words may be what is changed: a step is known by its id.
            yield f"{step.id}: {one.text}", f"Step '{step.action.rstrip('.')}': {one.text}"


def _step(one: Difference, old: Procedure, new: Procedure) -> Step | None:
    for document, path in ((new, one.new_path), (old, one.old_path)):
        if path is not None and len(path) >= 4 and (path[0], path[2]) == ("sections", "steps"):
            return document.sections[int(path[1])].steps[int(path[3])]
    return None
