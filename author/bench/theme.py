"""Colours and the type of the window, in light and in dark.

The ground is the grey of primed sheet metal and the paper of a job sheet; what is chosen
stands in the blue of marking-out fluid. Hazard colours are those of the printed procedure.
"""

from __future__ import annotations

from dataclasses import dataclass
from weakref import WeakKeyDictionary

from PyQt6 import sip
from PyQt6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PyQt6.QtWidgets import QApplication, QLayout, QWidget

from author.resources import font_folder

FAMILY = "DejaVu Sans"
_FOLLOWING: WeakKeyDictionary[QWidget, tuple[float, bool]] = WeakKeyDictionary()
"""Widgets whose type is larger than that of the window: by how much, and whether bold."""


@dataclass(frozen=True, slots=True)
class Colours:
    """The colours of one theme, as ``#RRGGBB``.

    Attributes:
        ground: behind everything.
        paper: behind text that is written or read.
        ink: text.
        quiet: text of less weight; still 4.5 : 1 on ground and paper.
        rule: lines between things.
        edge: edges of fields, 3 : 1 on paper and ground.
        chosen: what is chosen, and focus.
        on_chosen: text on it.
        tape: behind the tape.
        sound: level of the sound on the tape.
        pause: times without speech on the tape.
        span: a step's span on the tape.
        error, warning, advice: severity of a remark.
        good: what is accepted.
    """

    ground: str
    paper: str
    ink: str
    quiet: str
    rule: str
    edge: str
    chosen: str
    on_chosen: str
    tape: str
    sound: str
    pause: str
    span: str
    error: str
    warning: str
    advice: str
    good: str


LIGHT = Colours(
    ground="#DFE1DC",
    paper="#FBFAF5",
    ink="#1B1F22",
    quiet="#4C545A",
    rule="#B9BEBB",
    edge="#6B7479",
    chosen="#1C4E80",
    on_chosen="#FFFFFF",
    tape="#EFEDE3",
    sound="#5C7389",
    pause="#C9D6CB",
    span="#1C4E80",
    error="#A3201D",
    warning="#7A4B00",
    advice="#3F5866",
    good="#1D6B45",
)
DARK = Colours(
    ground="#1A1E21",
    paper="#23292D",
    ink="#EEF0EC",
    quiet="#B4BCC0",
    rule="#434C52",
    edge="#8D979D",
    chosen="#8FC4F2",
    on_chosen="#101417",
    tape="#15191B",
    sound="#7F9BB5",
    pause="#2F4438",
    span="#8FC4F2",
    error="#FF9D94",
    warning="#F2C063",
    advice="#A9C4D3",
    good="#83D3A6",
)


def colours_of(palette: QPalette) -> Colours:
    """Return the colours of the theme a widget's palette belongs to."""
    return DARK if palette.color(QPalette.ColorRole.Window).lightness() < 128 else LIGHT


def put_on(app: QApplication, *, dark: bool, scale: float = 1.0) -> None:
    """Give an application its colours, its type and its style.

    Args:
        app: the application.
        dark: whether to take the dark colours.
        scale: of the type; 1 is 10 points.
    """
    colours = DARK if dark else LIGHT
    app.setStyle("Fusion")
    app.setPalette(_palette(colours))
    app.setFont(_font(app, scale))
    app.setStyleSheet(_sheet(colours))
    for widget, (factor, bold) in [*_FOLLOWING.items()]:
        if not sip.isdeleted(widget):
            _give_type(widget, factor, bold=bold)
    for widget in app.allWidgets():
        _measure_anew(widget)


def _measure_anew(widget: QWidget) -> None:
    """Have what is not shown forget how much room it wanted in the type it had before."""
    layout = widget.layout()
    if layout is not None and not widget.isVisible():
        _forget(layout)
    widget.updateGeometry()


def _forget(layout: QLayout) -> None:
    for at in range(layout.count()):
        item = layout.itemAt(at)
        if item is not None and (inner := item.layout()) is not None:
            _forget(inner)
    layout.invalidate()


def follow_type(widget: QWidget, factor: float, *, bold: bool = False) -> None:
    """Give a widget a type of its own size that grows and shrinks with that of the window.

    Args:
        widget: the widget.
        factor: by which its type is larger.
        bold: whether it is bold.
    """
    _FOLLOWING[widget] = factor, bold
    _give_type(widget, factor, bold=bold)


def _give_type(widget: QWidget, factor: float, *, bold: bool) -> None:
    font = QApplication.font()
    font.setPointSizeF(font.pointSizeF() * factor)
    font.setBold(bold)
    widget.setFont(font)


def _font(app: QApplication, scale: float) -> QFont:
    """Return the system's font, or the shipped one where the system has none."""
    has_fonts = bool(QFontDatabase.families())
    for file in sorted(font_folder().glob("*.ttf")):
        QFontDatabase.addApplicationFont(str(file))
    font = QFont(app.font()) if has_fonts else QFont(FAMILY)
    font.setPointSizeF(10 * scale)
    return font


def _palette(colours: Colours) -> QPalette:
    role = QPalette.ColorRole
    chosen = {
        role.Window: colours.ground,
        role.WindowText: colours.ink,
        role.Base: colours.paper,
        role.AlternateBase: colours.tape,
        role.Text: colours.ink,
        role.PlaceholderText: colours.quiet,
        role.Button: colours.paper,
        role.ButtonText: colours.ink,
        role.ToolTipBase: colours.paper,
        role.ToolTipText: colours.ink,
        role.Highlight: colours.chosen,
        role.HighlightedText: colours.on_chosen,
        role.Link: colours.chosen,
        role.BrightText: colours.error,
        role.Mid: colours.rule,
        role.Dark: colours.edge,
        role.Light: colours.paper,
        role.Midlight: colours.tape,
        role.Shadow: colours.edge,
    }
    palette = QPalette()
    for which, colour in chosen.items():
        palette.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, which, QColor(colours.edge))
    return palette


def _sheet(colours: Colours) -> str:
    return f"""
    QLineEdit, QPlainTextEdit, QComboBox, QSpinBox, QListView, QTreeView, QTableView {{
      background: {colours.paper}; border: 1px solid {colours.edge}; border-radius: 2px;
      padding: 3px; selection-background-color: {colours.chosen};
      selection-color: {colours.on_chosen};
    }}
    QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus, QSpinBox:focus, QListView:focus,
    QTreeView:focus, QTableView:focus, QPushButton:focus, QToolButton:focus {{
      border: 2px solid {colours.chosen}; padding: 2px;
    }}
    QLineEdit[wrong="true"], QPlainTextEdit[wrong="true"], QComboBox[wrong="true"] {{
      border: 2px solid {colours.error}; padding: 2px;
    }}
    QPushButton, QToolButton {{
      background: {colours.paper}; border: 1px solid {colours.edge}; border-radius: 2px;
      padding: 4px 10px; min-height: 18px;
    }}
    QPushButton:pressed, QToolButton:pressed, QPushButton:checked, QToolButton:checked {{
      background: {colours.chosen}; color: {colours.on_chosen};
    }}
    QPushButton:disabled, QToolButton:disabled {{ color: {colours.quiet}; }}
    QToolButton[flat="true"] {{
      background: transparent; border: 1px solid transparent; padding: 1px 4px; min-height: 0px;
    }}
    QToolButton[flat="true"]:hover {{ border: 1px solid {colours.edge}; }}
    QToolButton[flat="true"]:focus {{ border: 2px solid {colours.chosen}; padding: 0px 3px; }}
    QToolButton[flat="true"][heading="true"] {{ font-weight: bold; }}
    QLabel[quiet="true"] {{ color: {colours.quiet}; }}
    QLabel[heading="true"] {{ font-weight: bold; }}
    QLabel[severity="error"] {{ color: {colours.error}; }}
    QLabel[severity="warning"] {{ color: {colours.warning}; }}
    QLabel[severity="advice"] {{ color: {colours.advice}; }}
    QLabel[severity="good"] {{ color: {colours.good}; }}
    QSplitter::handle {{ background: {colours.rule}; }}
    QMenuBar, QMenu, QStatusBar {{ background: {colours.ground}; }}
    QMenu::item:selected, QMenuBar::item:selected {{
      background: {colours.chosen}; color: {colours.on_chosen};
    }}
    """
