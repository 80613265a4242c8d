"""``reelwright serve``: the library in a browser, on this machine or the shop's network."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import progress_shown
from author.progress import Cancel


@click.command("serve")
@click.argument("library", type=NAMED_PATH)
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    metavar="ADDRESS",
    help="Address to listen at.",
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8420,
    show_default=True,
    help="Port to listen at; 0 takes a free one.",
)
@click.option(
    "--proxy",
    "proxies",
    multiple=True,
    metavar="ADDRESS",
    help="Address or network of a proxy before the server, whose word for https and for the "
    "reader's address is taken.",
)
@click.pass_obj
def serve_command(
    cancel: Cancel, library: Path, host: str, port: int, proxies: tuple[str, ...]
) -> int:
    """Show the library LIBRARY in a browser: find, read, follow, send in records.

    Only this machine can reach it unless --host says otherwise; then, and behind a proxy, it
    starts with accounts alone ('reelwright library account add'). Passwords cross the network
    as they are unless a proxy before it speaks TLS. Ctrl+C ends it.
    """
    from author.serve.running import serve

    with progress_shown() as progress:
        server = serve(library, host, port, proxies, progress, cancel)
    for line in server.told():
        click.echo(line, err=True)
    server.run(cancel)
    return 0
