"""Runs the command line: the one place where errors become text and exit codes."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import traceback
from collections.abc import Iterator, Sequence
from importlib import import_module
from types import FrameType

import click

import author
from author.errors import Cancelled, MachineError, ReelwrightError, one_line
from author.progress import Cancel

# Name of each command, the module that has it, and its line in the help. Modules are
# loaded when their command runs, so that --help answers at once.
COMMANDS = {
    "demo": ("demo", "Run the whole way once on the sample recordings."),
    "recording": ("recordings", "Say what a film is and whether it is whole."),
    "frame": ("recordings", "Write the exact frame at a time as a picture."),
    "bench": ("bench", "Open the window in which film becomes a procedure."),
    "new": ("starting", "Start a procedure from recordings."),
    "propose": ("proposing", "Propose a draft from what was said and shown."),
    "check": ("checking", "Hold a procedure against every rule."),
    "rule": ("checking", "Tell what a rule asks, why, and where it comes from."),
    "ledger": ("ledger", "Say what every way through a procedure leaves off."),
    "specs": ("specs", "List every number a reviewer signs, with all it rests on."),
    "compare": ("comparing", "Tell what has changed between two versions of a procedure."),
    "sign-off": ("signing_off", "Accept or query numbers and critical points."),
    "publish": ("publishing", "Make YAML, PDF, stills and clips of a checked procedure."),
    "order-sheet": ("sheets", "Write one order sheet for some procedures."),
    "record-sheet": ("sheets", "Write a record sheet, blank or filled from a job record."),
    "library": ("library", "Keep procedures together: find, order, sign, see what is due."),
    "serve": ("serving", "Show a library in a browser, here or on the shop's network."),
    "about": ("about", "Say which versions are at work and where cache and log lie."),
}


class _Commands(click.Group):
    """A group that loads a command's module when the command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"author.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, f"{cmd_name.replace('-', '_')}_command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(
    cls=_Commands,
    context_settings={"help_option_names": ["--help", "-h"], "max_content_width": 100},
)
@click.version_option(author.__version__, prog_name="reelwright")
def cli() -> None:
    """Turn a filmed repair job into a checked shop procedure.

    Exit codes: 0 fine, 1 remarks of severity error, 2 the input or the call is wrong,
    3 the machine failed or the run was stopped.
    """


def run(arguments: Sequence[str]) -> int:
    """Run the command line and return its exit code."""
    _use_utf8()
    arguments = arguments or ["--help"]
    try:
        with _stoppable() as cancel:
            result = cli.main(
                args=list(arguments), prog_name="reelwright", standalone_mode=False, obj=cancel
            )
        return result if isinstance(result, int) else 0
    except (Exception, KeyboardInterrupt) as error:
        code = _told(error)
        if code > 2 and not isinstance(error, Cancelled | KeyboardInterrupt):
            from author.tasks.failure_log import note_failure

            note_failure(error, arguments)
        return code


def _told(error: BaseException) -> int:
    """Say what went wrong in a line and return the exit code for it."""
    match error:
        case click.exceptions.Exit():
            return error.exit_code
        case click.UsageError():
            return _told_of_call(error)
        case ReelwrightError():
            for line in str(error).split("\n"):
                _say(line)
            return error.exit_code
        case BrokenPipeError():
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            return 0
        case KeyboardInterrupt() | click.Abort():
            return _told(Cancelled())
        case OSError():
            from author.storage import file_error

            return _told(file_error(error, error.filename or "the disk"))
        case MemoryError():
            return _told(MachineError("there is not enough memory", remedy="Close other programs"))
    # Anything else is a fault of ours: told whole, so that it can be reported.
    traceback.print_exception(error)
    _say(
        "this is a fault of the program: please report it with the file that "
        "'reelwright about --to FILE' saves."
    )
    return 3


def _told_of_call(error: click.UsageError) -> int:
    """Say what is wrong with a call; a group of commands without one shows its help."""
    if type(error).__name__ == "NoArgsIsHelpError":  # click 8.2 and later
        click.echo(error.format_message())
        return 0
    hint = f" Run '{error.ctx.command_path} --help'." if error.ctx else ""
    _say(f"{error.format_message().rstrip('.')}.{_named_by(error)}{hint}")
    return 2


def _named_by(error: click.UsageError) -> str:
    """Say by what files are named where a command takes none without an option."""
    params = error.ctx.command.params if error.ctx else []
    takes = [
        one.opts[0]
        for one in params
        if isinstance(one, click.Option) and one.multiple and isinstance(one.type, click.Path)
    ]
    stray = error.format_message().startswith("Got unexpected extra argument")
    if not stray or not takes or any(isinstance(one, click.Argument) for one in params):
        return ""
    return f" A file is named with {', '.join(takes[:-1])}{' or ' if takes[1:] else ''}{takes[-1]}."


def _say(text: str) -> None:
    click.echo(f"reelwright: {one_line(text)}", err=True)


def _use_utf8() -> None:
    """Never fail on a sign the terminal's encoding lacks."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, ValueError):
            stream.reconfigure(errors="replace")  # type: ignore[union-attr]


@contextlib.contextmanager
def _stoppable() -> Iterator[Cancel]:
    """Turn the first Ctrl-C into a request to stop, the second into an interrupt."""
    cancel = Cancel()

    def on_signal(_number: int, _frame: FrameType | None) -> None:
        if cancel.requested:
            raise KeyboardInterrupt
        cancel.request()

    try:
        before = [(s, signal.signal(s, on_signal)) for s in (signal.SIGINT, signal.SIGTERM)]
    except ValueError:  # not on the main thread
        before = []
    try:
        yield cancel
    finally:
        for number, handler in before:
            signal.signal(number, handler)
