"""``reelwright propose``."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from author.cli.option_words import NAMED_PATH, check_words
from author.cli.showing import print_json, progress_shown
from author.errors import InputError, in_command, one_line
from author.procedure.times import clock_text
from author.progress import Cancel
from author.proposals.draft.lines import done_besides
from author.proposals.proposal import Proposal, Question
from author.tasks.proposing import ProposedJob, answers_beside, propose_job

_QUESTIONS = 60
_SHOWN = 100


@click.command("propose")
@click.option(
    "--captions", "captions", multiple=True, type=NAMED_PATH, metavar="FILE",
    help="WebVTT, SubRip, plain text with times, or words with times as JSON. May be given "
    "more than once.",
)  # fmt: skip
@click.option(
    "--recording", "recordings", multiple=True, type=NAMED_PATH, metavar="FILE",
    help="The film the captions belong to: same name, or same order. Captions beside it are "
    "found.",
)  # fmt: skip
@click.option(
    "--to", type=NAMED_PATH, metavar="FOLDER",
    help="Write the draft there as 'procedure.yaml'; or a FILE.yaml of your own.",
)  # fmt: skip
@click.option(
    "--answers", type=NAMED_PATH, metavar="FILE",
    help="Sheet of answers: written with every proposal, read again on the next run. With --to "
    "it is 'proposals.yaml' beside the draft (of FILE.yaml 'FILE.proposals.yaml'), which the "
    "window reads and writes too.",
)  # fmt: skip
@click.option(
    "--by", metavar="NAME",
    help="Who you are: stands in the sheet beside the answers that name nobody yet.",
)  # fmt: skip
@click.option(
    "--speech-model", type=NAMED_PATH, metavar="FOLDER",
    help="Recognise the speech of recordings without captions, with a model of your own.",
)  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="Print every proposal for programs.")
@click.pass_obj
def propose_command(
    cancel: Cancel,
    captions: tuple[Path, ...],
    recordings: tuple[Path, ...],
    to: Path | None,
    answers: Path | None,
    by: str | None,
    speech_model: Path | None,
    as_json: bool,
) -> int:
    """Propose a draft procedure from what was said and shown.

    Captions alone are enough; a recording adds clips, stills and shot changes. Every
    proposal names the moment it comes from, a reason, and how often such proposals are
    right. A number that was heard stands in the draft as still to be confirmed, until the
    sheet of answers accepts it.
    """
    if answers is None and to is not None:
        answers = answers_beside(to)
    if by is not None and answers is None:
        raise InputError(
            "--by names who answered, and no answers are named",
            remedy="Name the sheet with --answers or the draft with --to, or leave --by out",
        )
    check_words("--by", by)
    with progress_shown() as progress:
        job = propose_job(
            captions, recordings, progress, cancel,
            answers=answers, to=to, speech_model=speech_model, by=by,
        )  # fmt: skip
    if as_json:
        print_json(_plain(job, to))
        return 0
    for text in _told(job):
        click.echo(one_line(text))
    if to is not None:
        click.echo(one_line(f"Wrote the draft {to}. Next: 'reelwright check {in_command(to)}'."))
    if answers is not None:
        click.echo(one_line(f"Answer in {answers}: accept, change or refuse; then run this again."))
    return 0


_COUNTED = {
    "measurement": ("number", "numbers"), "hazard": ("warning", "warnings"),
    "supply": ("supply", "supplies"), "orientation": ("way round", "ways round"),
    "order": ("order of work", "orders of work"), "hidden": ("hidden thing", "hidden things"),
    "off_camera": ("thing done off camera", "things done off camera"),
    "follow_on": ("follow-on job", "follow-on jobs"), "deferred": ("finding left", "findings left"),
    "chatter": ("stretch of talk left out", "stretches of talk left out"),
    "preview": ("preview left out", "previews left out"),
}  # fmt: skip


def _told(job: ProposedJob) -> Iterator[str]:
    counts = Counter(p.kind for p in job.proposals)
    named = ((n, _COUNTED.get(kind, (kind, f"{kind}s"))) for kind, n in counts.most_common())
    told = ", ".join(f"{n} {one if n == 1 else many}" for n, (one, many) in named)
    yield f"Proposed: {told or 'nothing'}"
    if job.accepted or job.refused:
        who = sorted(set(job.answered_by.values()))
        by = f", by {', '.join(who)}" if who else ""
        yield f"Answered: {len(job.accepted)} accepted or changed, {len(job.refused)} refused{by}"
    section = ""
    number = 0
    for p in job.proposals:
        if p.kind == "step":
            number += 1
            now = (p.detail("section") or "").replace("_", " ")
            if now != section:
                yield f"{now.capitalize()}:"
                section = now
            yield f"  {number:3d}  {clock_text(p.start)}  {p.text}"
            for told in done_besides(p):
                yield f"       {told}"
        elif p.kind == "measurement":
            yield f"       {clock_text(p.start)}  {p.text}  [{_how_sure(p, job)}]"
    left = [q for q in job.questions if not q.answer]
    if left:
        yield f"Not said on the film, worst first ({len(left)} in all):"
        for question in left[:_QUESTIONS]:
            yield f"  {question.text}"
        if len(left) > _QUESTIONS:
            yield f"  … and {len(left) - _QUESTIONS} more: --json lists them all"
    if len(left) < len(job.questions):
        yield "Answered, and to be written where it belongs:"
        for question in job.questions[len(left) :]:
            yield f"  {question.with_answer}"
    left_out = [p for p in job.proposals if p.kind in {"chatter", "preview"}]
    if left_out:
        yield "Left out as talk; look that nothing of the job is in it:"
        for p in left_out:
            yield f"  {clock_text(p.start)}  {_short(p.said)}"
    for note in job.notes:
        yield f"Note: {note}"


def _how_sure(number: Proposal, job: ProposedJob) -> str:
    """Return where a number comes from: "heard; 0.90", "heard; accepted", "changed", "answered"."""
    for how in ("answered", "changed"):
        if number.detail(f"{how}_by"):
            return how
    return f"heard; {'accepted' if number.id in job.accepted else number.confidence}"


def _short(said: str) -> str:
    return said if len(said) <= _SHOWN else f"{said[: _SHOWN - 1].rsplit(' ', 1)[0]}…"


def _plain(job: ProposedJob, to: Path | None) -> dict[str, Any]:
    return {
        "captions": [str(path) for path in job.captions],
        "draft": None if to is None else str(to),
        "proposals": [_plain_proposal(p, job) for p in job.proposals],
        "refused": [p.id for p in job.refused],
        "answered_by": dict(job.answered_by),
        "questions": [_plain_question(q) for q in job.questions],
        "notes": list(job.notes),
    }


def _plain_proposal(p: Proposal, job: ProposedJob) -> dict[str, Any]:
    values = p.values and {
        name: None if (number := getattr(p.values, name)) is None else f"{number:f}"
        for name in ("lower", "nominal", "upper")
    } | {"unit": p.values.unit}  # fmt: skip
    return {
        "id": p.id,
        "kind": p.kind,
        "text": p.text,
        "values": values,
        "recording": p.recording,
        "span": {"from": f"{p.start:.3f}", "to": f"{p.end:.3f}"},
        "reason": p.reason,
        "confidence": float(p.confidence),
        "said": p.said,
        "steps": list(p.steps),
        "moves": [
            {"act": m.act, "part": m.part, "count": m.count, "certain": m.certain} for m in p.moves
        ],
        "accepted": p.id in job.accepted,
        **({"details": dict(p.details)} if p.details else {}),
    }


def _plain_question(q: Question) -> dict[str, Any]:
    return {
        "text": q.text,
        "recording": q.recording,
        "at": f"{q.at:.3f}",
        "weight": q.weight,
        "about": q.about,
        **({"answer": q.answer, "answered_by": q.by or None} if q.answer else {}),
    }
