"""``reelwright library`` take, back-up and restore, and what is told of a shelving."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json, progress_shown
from author.errors import InputError, one_line
from author.progress import Cancel

if TYPE_CHECKING:
    from author.library.shelves.shelving import Shelved

_JSON = click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
_NOTHING_NEW = "nothing here is new to it"
_WORDS = {
    "new": "new",
    "next": "follows revision {}",
    "changed": "changed",
    "merged": "brought together with what the library has had since",
    "replaced": "took the place of another draft, which is kept below revisions/",
    "same": "as it was",
}


def shelved_plain(one: Shelved) -> dict[str, Any]:
    """Return what became of a folder for programs."""
    together = one.together
    said = {"mine": together.mine, "library": together.library}
    return {
        "procedure": one.procedure,
        "revision": one.revision,
        "folder": str(one.folder),
        "did": one.did,
        "before": one.before,
        **({name: list(lines) for name, lines in said.items()} if one.did == "merged" else {}),
        "given_up": list(one.given_up),
        "notes": [*together.notes, *(f"{note}." for note in one.notes)],
    }


def shelving_told(one: Shelved, shop: Path, source: Path) -> Iterator[str]:
    """Yield what became of a folder, line by line."""
    on = f" To go on from there: reelwright library take {shop} {one.procedure} {source}"
    yield f"{one.procedure}, revision {one.revision}: {_WORDS[one.did].format(one.before)}"
    for note in one.notes:
        yield f"  {note}."
    for line in one.given_up:
        yield f"  Given up in the library since you took it: {line}."
    if one.did == "same" and one.together.library:
        new = "what is here beside that is not new to it" if one.given_up else _NOTHING_NEW
        yield f"  The library has gone on since; {new}.{on}"
    if one.did != "merged":
        return
    for head, lines in (
        ("From this folder:", one.together.mine),
        ("From the library:", one.together.library),
    ):
        yield f"  {head}{'' if lines else ' nothing'}"
        for line in lines:
            yield f"    {line}"
    for note in one.together.notes:
        yield f"  {note}"
    yield f"  Your folder is as it was.{on}"


@click.command("take")
@click.argument("shop", type=NAMED_PATH)
@click.argument("procedure")
@click.argument("folder", type=NAMED_PATH)
@_JSON
@click.pass_obj
def take_command(cancel: Cancel, shop: Path, procedure: str, folder: Path, as_json: bool) -> int:
    """Copy PROCEDURE of the library SHOP into FOLDER to work on it.

    FOLDER is missing, empty, or a copy taken before that nobody has changed since. It remembers
    what it was taken from (in a hidden file), so that shelving can tell your changes from those
    others have shelved meanwhile.
    """
    from author.tasks.library_taking import take

    with progress_shown() as progress:
        done = take(shop, procedure, folder, progress=progress, cancel=cancel)
    one = done.procedure
    if as_json:
        row = {
            "procedure": one.id,
            "revision": one.revision,
            "state": one.state,
            "folder": str(done.folder),
            "did": done.did,
            "notes": list(done.notes),
        }
        print_json({"results": [row]})
        return 0
    did = {"new": "taken into", "renewed": "brought up to date in", "same": "as it was in"}
    state = one.state.replace("_", " ")
    for line in (f"{one.id}, revision {one.revision}, {state}: {did[done.did]} {done.folder}",
                 *done.notes):  # fmt: skip
        click.echo(one_line(line))
    return 0


@click.command("back-up")
@click.argument("shop", type=NAMED_PATH)
@click.argument("file", type=NAMED_PATH)
@click.option("--accounts", is_flag=True, help="Put the accounts of the server in as well.")
@click.option("--replace", is_flag=True, help="Take the place of a back-up of this name.")
@_JSON
@click.pass_obj
def back_up_command(
    cancel: Cancel, shop: Path, file: Path, accounts: bool, replace: bool, as_json: bool
) -> int:
    """Write the whole library SHOP into one archive, FILE.zip, with a SHA-256 of every file.

    The index is left out, it is made anew; so are the accounts of the server, if not asked for.
    Who shelves or signs meanwhile waits. The archive is a bag (RFC 8493) in a ZIP: unpacked, it
    can be checked with sha256sum -c manifest-sha256.txt.
    """
    from author.tasks.library_back_up import back_up_library

    with progress_shown() as progress:
        done = back_up_library(
            shop, file, accounts=accounts, replace=replace, progress=progress, cancel=cancel
        )
    if as_json:
        row = {
            "file": str(done.file),
            "files": done.files,
            "size": done.size,
            "sha256": done.sha256,
            "accounts": done.accounts,
        }
        print_json({"results": [row]})
        return 0
    said = "with the accounts: keep it to yourself" if done.accounts else "without accounts"
    click.echo(one_line(f"{done.file}: {done.files} files, {done.size:,} bytes, {said}"))
    click.echo(f"SHA-256 of its list of files: {done.sha256}")
    return 0


@click.command("restore")
@click.argument("file", type=NAMED_PATH)
@click.argument("shop", type=NAMED_PATH, required=False)
@click.option("--check", is_flag=True, help="Only read FILE and hold it against its list.")
@_JSON
@click.pass_obj
def restore_command(
    cancel: Cancel, file: Path, shop: Path | None, check: bool, as_json: bool
) -> int:
    """Put the library of the archive FILE.zip into the folder SHOP, missing or empty.

    Nothing appears before every byte was held against the archive's list of files.
    """
    from author.tasks.library_back_up import check_back_up, restore_library

    if check == (shop is not None):
        said = "a folder is named beside --check" if check else "no folder is named"
        raise InputError(said, remedy="Name the folder to restore into, or say --check")
    with progress_shown() as progress:
        if shop is None:
            done = check_back_up(file, progress=progress, cancel=cancel)
        else:
            _, done = restore_library(file, shop, progress=progress, cancel=cancel)
    row = {
        "file": str(file),
        "folder": None if shop is None else str(shop),
        "files": done.files,
        "size": done.size,
        "sha256": done.sha256,
        "accounts": done.accounts,
    }
    if as_json:
        print_json({"results": [row]})
        return 0
    where = f"{file}: whole" if shop is None else f"{shop}: restored"
    accounts = ", with accounts" if done.accounts else ""
    click.echo(one_line(f"{where}, {done.files} files, {done.size:,} bytes{accounts}"))
    click.echo(f"SHA-256 of its list of files: {done.sha256}")
    if shop is not None:
        click.echo(one_line(f"Whether all is as signed: reelwright library audit {shop}"))
    return 0


COMMANDS = (take_command, back_up_command, restore_command)
"""What the group ``library`` takes in."""
