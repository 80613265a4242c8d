"""``reelwright check``."""

from __future__ import annotations

from dataclasses import asdict
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import click

from author.checks import Rule, all_rules
from author.checks.verdict import forbids
from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json, progress_shown
from author.errors import FileErrors, InputError, one_line
from author.progress import Cancel
from author.tasks.checking import CheckReport, check_procedure

MEDIA_OPTION = click.option(
    "--media",
    multiple=True,
    type=NAMED_PATH,
    metavar="FOLDER",
    help="Look for recordings here as well. May be given more than once.",
)


@click.command("check")
@click.argument("procedure", type=NAMED_PATH)
@MEDIA_OPTION
@click.option(
    "--shelf",
    type=NAMED_PATH,
    metavar="FOLDER",
    help="Look here for the other procedures this one names, a folder each.",
)
@click.option("--strict", is_flag=True, help="Let warnings count as errors do.")
@click.option("--json", "as_json", is_flag=True, help="Print the remarks for programs.")
@click.pass_obj
def check_command(
    cancel: Cancel,
    procedure: Path,
    media: tuple[Path, ...],
    shelf: Path | None,
    strict: bool,
    as_json: bool,
) -> int:
    """Hold PROCEDURE, a folder or a file, against every rule.

    Each remark is one line: file, line, column, severity, rule, problem, remedy. What a
    concession lets stand is listed after them. Leaves with 1 if a remark is an error, or
    with --strict a warning. 'reelwright rule RULE' tells why a rule is there.
    """
    try:
        with progress_shown() as progress:
            report = check_procedure(procedure, media, progress, cancel, shelf)
    except InputError as error:
        if as_json:
            print_json({"faults": _faults(error)})
        raise
    if as_json:
        print_json(report.as_plain())
    else:
        show_report(report)
    counted = ("error", "warning") if strict else ("error",)
    return 1 if any(report.verdict.count(severity) for severity in counted) else 0


def _faults(error: InputError) -> list[dict[str, Any]]:
    """Return what keeps a file from being read, for programs."""
    faults = error.faults if isinstance(error, FileErrors) else (error,)
    return [
        {
            "file": fault.file,
            "line": fault.line,
            "column": fault.column,
            "problem": fault.problem,
            "remedy": fault.remedy,
        }
        for fault in faults
    ]


@click.command("rule")
@click.argument("rule", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
def rule_command(rule: str | None, as_json: bool) -> int:
    """Tell what RULE asks, why, and where it comes from.

    With the name of a family, such as limits, its rules are listed; without RULE, all.
    """
    rules = all_rules()
    family = [one for one in rules.values() if one.id.startswith(f"{rule}.")]
    if rule is not None and rule not in rules and not family:
        close = get_close_matches(rule, rules, n=1)
        hint = f"Did you mean '{close[0]}'?" if close else "'reelwright rule' lists them"
        raise InputError(f"there is no rule '{rule[:60]}'", remedy=hint)
    chosen = list(rules.values()) if rule is None else family or [rules[rule]]
    if as_json:
        print_json([asdict(one) for one in chosen])
    elif rule not in rules:
        width = max(len(name) for name in rules)
        for one in chosen:
            click.echo(f"{one.id:<{width}}  {one.severity:<7}  {one.why}")
        click.echo(f"{len(chosen)} rules.")
    else:
        _show_rule(chosen[0])
    return 0


def _show_rule(rule: Rule) -> None:
    stands = "with a concession that gives reason and role" if rule.may_stand else "never"
    rows = {
        "severity": rule.severity,
        "why": rule.why,
        "source": rule.source,
        "remedy": f"{rule.remedy}.",
        "may stand": stands,
    }
    click.echo(rule.id)
    for name, text in rows.items():
        click.echo(f"  {name:<9}  {text}")


def show_report(report: CheckReport) -> None:
    """Print every remark and a line that counts them."""
    for line in report.lines():
        click.echo(one_line(line))
    verdict = report.verdict
    counts = [
        f"{count} {word if count == 1 or word == 'advice' else word + 's'}"
        for word in ("error", "warning", "advice")
        for count in [verdict.count(word)]
        if count
    ]
    conceded = f", {len(verdict.conceded)} conceded" if verdict.conceded else ""
    procedure = report.loaded.procedure
    steps = sum(1 for _ in procedure.placed_steps())
    click.echo(
        f"{procedure.id}, revision {procedure.revision}: {steps} step{'s' * (steps != 1)}, "
        f"{', '.join(counts) or 'no remark'}{conceded}."
    )
    forbidding = sum(forbids(remark) for remark in verdict.remarks)
    if forbidding > verdict.count("error"):
        they = "One of them keeps" if forbidding == 1 else f"{forbidding} of them keep"
        click.echo(f"{they} it from being published: errors, and what is still to be written.")
