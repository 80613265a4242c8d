"""Everything a person can do in the window: one table, with words, menu and keys.

Letters without Ctrl work wherever no text is being written; Escape leaves a text. A key
means the same everywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from PyQt6.QtCore import QCoreApplication, Qt
from PyQt6.QtGui import QAction, QKeySequence
from PyQt6.QtWidgets import QMainWindow, QMenuBar


@dataclass(frozen=True, slots=True)
class Deed:
    """One thing a person can do.

    Attributes:
        name: by which the program asks for it.
        menu: title of the menu it stands in.
        text: its words there; ``&`` stands before its letter.
        keys: its keys, the first one shown in the menu.
        checkable: whether it is on or off.
    """

    name: str
    menu: str
    text: str
    keys: tuple[str, ...] = ()
    checkable: bool = False


MENUS = ("&Job", "&Change", "&Film", "&Step", "&Still", "&Look", "&Review", "&Help")

DEEDS = (
    Deed("open", "&Job", "&Open a procedure or recordings …", ("Ctrl+O",)),
    Deed("add_recording", "&Job", "&Add a recording …", ("Ctrl+Shift+O",)),
    Deed("save", "&Job", "&Save", ("Ctrl+S",)),
    Deed("save_as", "&Job", "Save in another &folder …", ("Ctrl+Shift+S",)),
    Deed("publish", "&Job", "&Publish …", ("Ctrl+P",)),
    Deed("front", "&Job", "&Title, machine, limits of use …", ("Ctrl+T",)),
    Deed("lists", "&Job", "Pa&rts, tools, supplies, sources …", ("Ctrl+L",)),
    Deed("close", "&Job", "&Close the window", ("Ctrl+Q",)),
    Deed("undo", "&Change", "&Undo", ("Ctrl+Z",)),
    Deed("redo", "&Change", "&Redo", ("Ctrl+Y", "Ctrl+Shift+Z")),
    Deed("to_film", "&Change", "Leave the &text, back to the film", ("Escape",)),
    Deed("play", "&Film", "&Run or halt", ("Space",)),
    Deed("half_speed", "&Film", "Run at &half speed", ("-",), checkable=True),
    Deed("double_speed", "&Film", "Run at &double speed", ("+", "="), checkable=True),
    Deed("loop", "&Film", "Run the step o&ver and over", ("L",), checkable=True),
    Deed("frame_back", "&Film", "One frame &back", ("Left",)),
    Deed("frame_on", "&Film", "One frame &on", ("Right",)),
    Deed("second_back", "&Film", "One second b&ack", ("Shift+Left",)),
    Deed("second_on", "&Film", "One second o&n", ("Shift+Right",)),
    Deed("shot_back", "&Film", "To the shot chan&ge before", ("Ctrl+Left",)),
    Deed("shot_on", "&Film", "To the next shot &change", ("Ctrl+Right",)),
    Deed("pause_back", "&Film", "To the pause in speech before", ("Alt+Left",)),
    Deed("pause_on", "&Film", "To the next &pause in speech", ("Alt+Right",)),
    Deed("film_start", "&Film", "To the &start of the film", ("Ctrl+Home",)),
    Deed("film_end", "&Film", "To the &end of the film", ("Ctrl+End",)),
    Deed("go_to_time", "&Film", "Go to a &time …", ("G",)),
    Deed("other_recording", "&Film", "To the other recording, same moment", ("R",)),
    Deed("mark", "&Step", "&Mark: begin a step here, then end it here", ("M",)),
    Deed("unmark", "&Step", "Ta&ke the mark back", ("Shift+M",)),
    Deed("write_action", "&Step", "&Write its action", ("W", "F2")),
    Deed("begin_here", "&Step", "Let it &begin here", ("[",)),
    Deed("end_here", "&Step", "Let it end he&re", ("]",)),
    Deed("measurement", "&Step", "Add a m&easurement", ("D",)),
    Deed("torque", "&Step", "Add a t&orque", ("T",)),
    Deed("hazard", "&Step", "Add a &hazard message …", ("H",)),
    Deed("comes_off", "&Step", "Say what &comes off …", ("O",)),
    Deed("goes_on", "&Step", "Say what goes o&n …", ("I",)),
    Deed("criterion", "&Step", "Add what is &looked at (criterion)", ("K",)),
    Deed("critical_point", "&Step", "Add a critical &point", ("Shift+K",)),
    Deed("decision", "&Step", "Add a &decision", ("Shift+D",)),
    Deed("uses", "&Step", "Add a tool or s&upply …", ("U",)),
    Deed("step_before", "&Step", "To the step be&fore", ("Up", "PgUp")),
    Deed("step_after", "&Step", "To the ne&xt step", ("Down", "PgDown")),
    Deed("step_up", "&Step", "Move it up", ("Ctrl+Up",)),
    Deed("step_down", "&Step", "Move it down", ("Ctrl+Down",)),
    Deed("split", "&Step", "&Split it here", ("/",)),
    Deed("join", "&Step", "&Join it with the next", ("J",)),
    Deed("section", "&Step", "Begin a section with it …", ("N",)),
    Deed("remove_step", "&Step", "Remove it", ("Ctrl+Delete",)),
    Deed("take_still", "&Still", "&Take this frame", ("P",)),
    Deed("best_still", "&Still", "Take the &best frame near here", ("B",)),
    Deed("still", "&Still", "&Show the still", ("S",), checkable=True),
    Deed("arrow", "&Still", "Draw an &arrow", ("A",)),
    Deed("ring", "&Still", "Draw a &ring", ("Shift+A",)),
    Deed("box", "&Still", "Draw a bo&x", ("X",)),
    Deed("label", "&Still", "Write a &label", ("Shift+X",)),
    Deed("leader", "&Still", "Draw a &numbered leader", ("Shift+N",)),
    Deed("mask", "&Still", "&Hide an area", ("Shift+H",)),
    Deed("alt", "&Still", "Say &what it shows", ("Shift+W",)),
    Deed("next_remark", "&Look", "To the next &remark", ("F8",)),
    Deed("previous_remark", "&Look", "To the remark &before", ("Shift+F8",)),
    Deed("show_remarks", "&Look", "Show re&marks", ("Ctrl+1",)),
    Deed("show_ledger", "&Look", "Show what is &off the machine", ("Ctrl+2",)),
    Deed("show_speech", "&Look", "Show what &is said", ("Ctrl+3",)),
    Deed("show_review", "&Look", "Show the re&view", ("Ctrl+4",)),
    Deed("dark", "&Look", "&Dark colours", ("Ctrl+D",), checkable=True),
    Deed("larger", "&Look", "&Larger type", ("Ctrl++", "Ctrl+=")),
    Deed("smaller", "&Look", "&Smaller type", ("Ctrl+-",)),
    Deed("accept", "&Review", "&Accept", ("Ctrl+Return",)),
    Deed("query", "&Review", "&Query …", ("Ctrl+Shift+Return",)),
    Deed("next_point", "&Review", "To the &next number or point", ("F9",)),
    Deed("previous_point", "&Review", "To the number or point &before", ("Shift+F9",)),
    Deed("keys", "&Help", "All &keys", ("F1",)),
    Deed("about", "&Help", "&Versions, places, report for support"),
)


def words_of(text: str) -> str:
    """Return a text of the table in the person's language."""
    return QCoreApplication.translate("Deeds", text)


class Actions(Mapping[str, QAction]):
    """The table as actions of a window, by name."""

    def __init__(self, window: QMainWindow) -> None:
        self._actions: dict[str, QAction] = {}
        for deed in DEEDS:
            action = QAction(words_of(deed.text), window)
            action.setObjectName(deed.name)
            action.setCheckable(deed.checkable)
            action.setShortcuts([QKeySequence(keys) for keys in deed.keys])
            action.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
            action.setMenuRole(QAction.MenuRole.NoRole)
            window.addAction(action)
            self._actions[deed.name] = action

    def __getitem__(self, name: str) -> QAction:
        return self._actions[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._actions)

    def __len__(self) -> int:
        return len(self._actions)

    def fill(self, bar: QMenuBar) -> None:
        """Put every action into its menu."""
        for title in MENUS:
            menu = bar.addMenu(words_of(title))
            assert menu is not None  # noqa: S101 - a bar always makes the menu asked for
            for deed in DEEDS:
                if deed.menu == title:
                    menu.addAction(self._actions[deed.name])
