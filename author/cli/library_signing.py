"""``reelwright library`` sign, state, verify, audit and history."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import cast

import click

from author.cli.library_keys import (
    SIGNING_ROLES,
    admit_command,
    json_option,
    key_command,
    reason_option,
    revoke_command,
    shop_argument,
    signer_of,
    signing_options,
)
from author.cli.option_words import NAMED_PATH, check_words
from author.cli.showing import print_json, progress_shown
from author.errors import InputError, one_line
from author.library.shelves.withdrawing import changed_notes, withdraw
from author.library.shop import Role
from author.library.signing.audit import Audit
from author.library.signing.manifest import Purpose
from author.library.signing.signatures import Signing
from author.library.signing.states import STATES, words
from author.progress import Cancel
from author.tasks.library_audit import (
    audit_lines,
    audit_plain,
    keep_heads,
    key_line,
    key_rows,
    procedure_lines,
    verify,
)
from author.tasks.library_keys import usable_keyring
from author.tasks.library_signing import sign

_role = click.option(
    "--role", type=click.Choice(SIGNING_ROLES), help="The role to sign in, of several."
)
_media = click.option(
    "--media", type=NAMED_PATH, multiple=True, help="Another folder to look for recordings in."
)


@click.command("sign")
@shop_argument
@click.argument("procedure")
@click.option(
    "--purpose",
    required=True,
    type=click.Choice(["authored", "reviewed", "published"]),
    help="Signed as what.",
)
@_role
@reason_option
@signing_options
@json_option
def sign_command(
    shop: Path,
    procedure: str,
    purpose: str,
    role: str | None,
    reason: str | None,
    key: str,
    passphrase_file: Path | None,
    as_json: bool,
) -> int:
    """Sign PROCEDURE of the library SHOP as it is stored; its state stays.

    What is signed are the exact bytes of the procedure, its stills and clips if there are any;
    in a review also the sign-offs; as published also every page, print and sheet made of it. A
    later change of any of them is told by 'library verify'.
    """
    check_words("--reason", reason)
    done = sign(
        shop,
        procedure,
        cast("Purpose", purpose),
        signer_of(key, passphrase_file),
        role=cast("Role | None", role),
        reason=reason,
    )
    return _told(done, as_json)


@click.command("state")
@shop_argument
@click.argument("procedure")
@click.argument("state", type=click.Choice(STATES))
@click.option(
    "--revision",
    type=click.IntRange(min=1),
    metavar="N",
    help="Which one is withdrawn: a draft, or the revision in force while it is written.",
)
@_role
@reason_option
@_media
@signing_options
@json_option
@click.pass_obj
def state_command(
    cancel: Cancel,
    shop: Path,
    procedure: str,
    state: str,
    revision: int | None,
    role: str | None,
    reason: str | None,
    media: tuple[Path, ...],
    key: str,
    passphrase_file: Path | None,
    as_json: bool,
) -> int:
    """Give PROCEDURE of the library SHOP another STATE, signed.

    An author hands it in for review; a reviewer who did not write it approves it, once every
    number, critical point and criterion is accepted; an approved one is taken back, superseded or
    withdrawn. Where a later revision is being written, --revision says whether the draft is
    withdrawn, and put aside, or the one in force. Withdrawing asks for a --reason, which the
    procedure's page shows.
    """
    check_words("--reason", reason)
    if revision is not None and state != "withdrawn":
        raise InputError(
            "--revision is for withdrawing", remedy="Leave it out: the file on the shelf is meant"
        )
    if state == "withdrawn" and reason is None:
        raise InputError(
            "withdrawing asks for a reason",
            remedy="Say --reason: whoever comes to work by it reads it",
        )
    signer = signer_of(key, passphrase_file)
    known: tuple[str, ...] = ()
    if state == "withdrawn":
        chosen = cast("Role | None", role)
        aside = withdraw(
            shop, procedure, signer, usable_keyring, revision=revision, role=chosen, reason=reason
        )
        if aside is not None:
            return _told(aside, as_json)
        known = changed_notes(shop, procedure, usable_keyring)
    with progress_shown() as progress:
        done = sign(
            shop,
            procedure,
            cast("Purpose", state),
            signer,
            role=cast("Role | None", role),
            reason=reason,
            media=media,
            progress=progress,
            cancel=cancel,
        )
    return _told(replace(done, notes=(*known, *done.notes)), as_json)


@click.command("verify")
@shop_argument
@click.argument("procedures", nargs=-1)
@click.option("--head", type=NAMED_PATH, help="Heads of the histories that were kept elsewhere.")
@json_option
@click.pass_obj
def verify_command(
    cancel: Cancel, shop: Path, procedures: tuple[str, ...], head: Path | None, as_json: bool
) -> int:
    """Say whether PROCEDURES of the library SHOP, or all, are as they were signed.

    Nothing is asked of the network and nothing is written. Exit code 1 if anything differs.
    """
    with progress_shown() as progress:
        report = verify(shop, procedures, head, progress, cancel)
    if as_json:
        print_json(audit_plain(report))
    else:
        _tell(report)
    return 1 if report.all_problems else 0


@click.command("audit")
@shop_argument
@click.option("--head", type=NAMED_PATH, help="Heads of the histories that were kept elsewhere.")
@json_option
@click.pass_obj
def audit_command(cancel: Cancel, shop: Path, head: Path | None, as_json: bool) -> int:
    """List every revision in the library SHOP with its state, and what is not as signed.

    Sign-offs by whoever wrote a procedure or by people the library does not know, and published
    folders that are behind their file, are told as well; they do not change the exit code.
    """
    with progress_shown() as progress:
        report = verify(shop, (), head, progress, cancel)
    if as_json:
        print_json(audit_plain(report))
        return 1 if report.all_problems else 0
    for one in report.procedures:
        for line in audit_lines(one, keyed=report.founded is not None):
            click.echo(one_line(line))
    for one in report.procedures:
        for note in one.notes:
            click.echo(one_line(f"{note.file}: {note.said}."))
    _tell(report)
    return 1 if report.all_problems else 0


@click.command("history")
@shop_argument
@click.argument("procedure", required=False)
@click.option(
    "--head-to", type=NAMED_PATH, help="Write where the histories stand, to keep elsewhere."
)
@json_option
def history_command(shop: Path, procedure: str | None, head_to: Path | None, as_json: bool) -> int:
    """Tell who signed PROCEDURE of the library SHOP; without it, whose keys count."""
    if head_to is not None:
        heads = keep_heads(shop, head_to, (procedure,) if procedure else ())
        if not as_json:
            known = procedure or f"procedures: {len(heads.procedures)}"
            click.echo(one_line(f"{head_to}: heads of the keys and of {known}"))
    if procedure is None:
        rows = key_rows(shop)
        if as_json:
            print_json({"acts": rows})
        else:
            for row in rows:
                click.echo(one_line(key_line(row)))
        return 0
    report = verify(shop, (procedure,))
    if as_json:
        print_json(audit_plain(report)["procedures"][0])
    else:
        for line in procedure_lines(report.procedures[0]):
            click.echo(one_line(line))
    return 0


COMMANDS = (
    key_command,
    admit_command,
    revoke_command,
    sign_command,
    state_command,
    verify_command,
    audit_command,
    history_command,
)
"""What the group ``library`` takes in."""


def _told(done: Signing, as_json: bool) -> int:
    act = done.entry.act
    if as_json:
        plain = act.model_dump(mode="json", exclude_none=True)
        print_json({**plain, "file": str(done.file), "notes": list(done.notes)})
        return 0
    files = "1 file" if len(act.files) == 1 else f"{len(act.files)} files"
    said = (
        f"{act.procedure}, revision {act.revision}: {words(act.purpose)} by {act.name}, "
        f"{act.role}, {files}: {done.file}"
    )
    for line in (said, *done.notes):
        click.echo(one_line(line))
    return 0


def _tell(report: Audit) -> None:
    for problem in report.all_problems:
        click.echo(one_line(f"{problem.file}: {problem.said}."))
    if report.founded is None:
        click.echo("No key is admitted to this library: nothing in it is signed.")
        return
    signed = sum(bool(one.acts) for one in report.procedures)
    said = "not everything is as signed" if report.all_problems else "everything is as signed"
    click.echo(f"{signed} of {len(report.procedures)} procedures signed; {said}.")
    click.echo(f"Fingerprint of the library: {report.founded}")
