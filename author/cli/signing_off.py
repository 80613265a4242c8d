"""``reelwright sign-off``."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH, check_words
from author.errors import InputError, one_line
from author.procedure.review import said_of
from author.tasks.signing_off import SignedOff, sign_off, take_back_sign_offs

_SHOWN = 8


@click.command("sign-off")
@click.argument("procedure", type=NAMED_PATH)
@click.argument("points", nargs=-1)
@click.option("--by", required=True, metavar="NAME", help="Name or initials of who signs.")
@click.option("--role", required=True, metavar="ROLE", help="What that person is to the shop.")
@click.option("--query", metavar="TEXT", help="Query the points instead, and say what is wrong.")
@click.option("--answer", metavar="TEXT", help="What settles somebody's query of the points.")
@click.option("--take-back", is_flag=True, help="Take back what was said of the points.")
@click.option("--of", metavar="NAME", help="Whose word is taken back, by a keeper of the library.")
@click.option("--all", "every", is_flag=True, help="Sign every number and critical point.")
def sign_off_command(
    procedure: Path,
    points: tuple[str, ...],
    by: str,
    role: str,
    query: str | None,
    answer: str | None,
    take_back: bool,
    of: str | None,
    every: bool,
) -> int:
    """Accept POINTS of PROCEDURE as they are now: specs, critical points and criteria by id.

    Sign-offs stand in review.yaml beside the procedure. A later change of a point, of its
    source or of its instrument makes its sign-off stale. --all leaves alone what somebody has
    queried: a query is settled by naming its point, somebody else's with an --answer.

    --take-back takes out what --by has said of the points; a keeper of the library takes back
    what somebody else has said, with --of.
    """
    if bool(points) == every:
        said = "points are named beside --all" if every else "no point is named"
        raise InputError(said, remedy="Name points by their ids, or say --all")
    if answer is not None and (every or query is not None):
        raise InputError(
            "--answer is for accepting points that are queried", remedy="Name the points, by ids"
        )
    told = (("--by", by), ("--role", role), ("--query", query), ("--answer", answer))
    for name, text in told:
        check_words(name, text)
    if take_back and (query is not None or answer is not None):
        raise InputError("--take-back says nothing new", remedy="Leave --query and --answer out")
    if of is not None and not take_back:
        raise InputError("--of is for --take-back", remedy="Say --take-back as well")
    if take_back:
        done = take_back_sign_offs(procedure, points, by=by, of=of)
        click.echo(one_line(f"{len(done.points)} taken back, of {of or by}: {done.file}"))
    else:
        done = sign_off(procedure, points, by=by, role=role, query=query, answer=answer)
        word = "accepted" if query is None else "queried"
        click.echo(one_line(f"{len(done.points)} {word} by {by}, {role}: {done.file}"))
    _tell(done)
    return 0


def _tell(done: SignedOff) -> None:
    if done.open:
        more = f" and {len(done.open) - _SHOWN} more" if len(done.open) > _SHOWN else ""
        click.echo(f"{len(done.open)} still open: {', '.join(done.open[:_SHOWN])}{more}")
    for one in done.queried:
        alone = "Left alone: " if one.point in done.left else "Not settled: "
        click.echo(one_line(f"{alone}{said_of(one)}"))
    if done.queried:
        click.echo("A query is settled by naming its point: accept it with --answer TEXT.")
    elif not done.open:
        click.echo("Every number and critical point is accepted.")
    if done.out_of_use:
        click.echo(
            "It was approved on other sign-offs: it is out of use as long as these stand. Take "
            "back what was said (--take-back), or put it in review and approve it again."
        )
