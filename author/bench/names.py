"""Who works at this window: the name stands beside what is decided here."""

from __future__ import annotations

from PyQt6.QtCore import QSettings

from author.editing.holding import user_name

_NAME = "reviewer"


def given_name() -> str:
    """Return the name that was given on the review page; empty if none was."""
    return str(QSettings().value(_NAME, ""))


def keep_name(name: str) -> None:
    """Keep the name of who works here for the next time."""
    QSettings().setValue(_NAME, name)


def name_here() -> str | None:
    """Return who works here: by the name given, else as the machine knows them."""
    return given_name() or user_name()
