"""A window with pages of fields that stands beside the bench while the work goes on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QScrollArea, QTabWidget, QVBoxLayout, QWidget

from author.bench.beside import Beside
from author.bench.fields import Address
from author.bench.views.sheet.finding import nearest_field
from author.bench.views.sheet.forms import EntryList, Form, give_keys, places_in
from author.bench.views.sheet.rows import Row

if TYPE_CHECKING:
    from author.bench.session import Session


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        title: words on its tab; ``&`` before its letter.
        keys: keys of the document that stand on it.
        make: makes it, when it is first seen.
    """

    title: str
    keys: tuple[str, ...]
    make: Callable[[], QWidget]


class Paper(Beside):
    """Pages of fields; what is written is in the document at once, Escape closes.

    Args:
        session: whose document.
        title: words on the window.
        pages: the pages.
    """

    def __init__(
        self, session: Session, title: str, pages: Sequence[Page], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.setWindowTitle(title)
        self.setSizeGripEnabled(True)
        self._pages = tuple(pages)
        self._made: dict[int, QWidget] = {}
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(title)
        self.tabs.setDocumentMode(True)
        for page in self._pages:
            holder = QWidget()
            QVBoxLayout(holder).setContentsMargins(0, 0, 0, 0)
            self.tabs.addTab(holder, page.title)
        self.tabs.currentChanged.connect(self._see)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 6, 6, 6)
        column.addWidget(self.tabs)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.close_button)
        column.addLayout(foot)
        self.resize(620, 560)
        self._see(0)

    def page(self, index: int) -> QWidget:
        """Return a page, made if nobody saw it yet."""
        if index not in self._made:
            made = self._pages[index].make()
            holder = self.tabs.widget(index)
            assert holder is not None  # noqa: S101 - there is a tab for each page
            layout = holder.layout()
            assert layout is not None  # noqa: S101 - it was given one
            layout.addWidget(made)
            self._made[index] = made
        return self._made[index]

    def show_place(self, path: Address) -> bool:
        """Show a place of the document and give the keys to its field.

        Returns:
            Whether there is a page for it.
        """
        for index, page in enumerate(self._pages):
            if path and path[0] in page.keys:
                self.come()
                self.tabs.setCurrentIndex(index)
                self._go_to(self.page(index), path)
                return True
        return False

    def _go_to(self, page: QWidget, path: Address) -> None:
        choose = getattr(page, "choose", None)
        if choose is not None and len(path) > 1:
            choose(path[1])
        field = nearest_field(self.session, page, path)
        if field is not None:
            give_keys(field)

    def _see(self, index: int) -> None:
        page = self.page(index)
        if self.isVisible():
            first = next(iter(places_in(page)), None)
            if first is not None and not self.tabs.hasFocus():
                give_keys(first[1])

    def open_paper(self) -> None:
        """Show the window and give the keys to its first field."""
        self.come()
        self._see(self.tabs.currentIndex())


def scrolled(*parts: QWidget) -> QScrollArea:
    """Return widgets under one another on a page that scrolls."""
    inner = QWidget()
    column = QVBoxLayout(inner)
    column.setContentsMargins(8, 8, 8, 8)
    column.setSpacing(8)
    for part in parts:
        column.addWidget(part)
    column.addStretch(1)
    area = QScrollArea()
    area.setWidget(inner)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area


def form_page(session: Session, *rows: Row) -> QWidget:
    """Return a page with one form of the document's own values."""
    form = Form(session, rows)
    form.bind(())
    return scrolled(form)


def list_page(session: Session, row: Row) -> QWidget:
    """Return a page with a list of blocks, each with its form."""
    entries = EntryList(session, row)
    entries.bind((row.key,))
    return scrolled(entries)
