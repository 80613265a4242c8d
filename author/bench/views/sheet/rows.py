"""Rows: what the forms of the job sheet are made of, as data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from PyQt6.QtWidgets import QToolButton

from author.bench.fields import Keys, Option
from author.checks.wording import UNWRITTEN
from author.procedure.document import Procedure

if TYPE_CHECKING:
    from author.bench.session import Session

Kind = Literal["text", "long", "lines", "choice", "ticks", "count", "entries", "own"]


def unwritten(what: str) -> str:
    """Return what stands for words that a person still has to write."""
    return f"{UNWRITTEN} {what}"


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a form.

    Attributes:
        key: key in the block, or several joined by ``.``.
        words: what it is called.
        kind: how it is written.
        options: values to choose from, for ``choice`` and ``ticks``.
        none: words for no value, where it may be absent.
        blank: what is written when it is empty.
        read_as: makes a value of a text.
        show_as: makes a text of a value.
        hint: shown in the empty field.
        rows: rows of each entry, for ``entries``.
        entry: makes a new entry, for ``entries``.
        one: what one entry is called, for ``entries``.
        make: makes the widget, for ``own``; it has a ``place``.
        when_there: whether it is shown only while the block has it.
        leads_to: key of the field that Enter leads to, for ``long``.
        waits: whether a new entry waits until something is written in it, for ``entries``.
    """

    key: str
    words: str
    kind: Kind = "text"
    options: Callable[[Procedure], Sequence[Option]] | None = None
    none: str | None = None
    blank: Any = None
    read_as: Callable[[str], Any] = str
    show_as: Callable[[Any], str] | None = None
    hint: str = ""
    rows: tuple[Row, ...] = ()
    entry: Callable[[Procedure], Any] | None = None
    one: str = ""
    make: Callable[[Session], Any] | None = None
    when_there: bool = False
    leads_to: str = ""
    waits: bool = False

    @property
    def path(self) -> tuple[str, ...]:
        """The key as the end of an address."""
        return tuple(self.key.split(".")) if self.key else ()


def choices(*pairs: tuple[Any, str]) -> Callable[[Procedure], Sequence[Option]]:
    """Return fixed values with their words as options."""
    return lambda _procedure: pairs


def flat(button: QToolButton) -> QToolButton:
    """Let a button lie flat on the page: it shows its edge with the keys or the pointer on it."""
    button.setProperty("flat", True)
    return button


def sign_button(session: Session, sign: str, words: str) -> QToolButton:
    """Return a small flat button with a sign, said in words to assistive technology."""
    button = flat(QToolButton())
    button.setText(sign)
    button.setToolTip(words)
    button.setAccessibleName(words)
    button.setFixedWidth(max(2 * button.fontMetrics().height(), button.minimumSizeHint().width()))
    Keys(session, button)
    return button
