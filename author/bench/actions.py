"""Everything a person can do in the window: one table, with words, menu and keys.

Letters without Ctrl work wherever no text is being written; Escape leaves a text. A key
means the same everywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from PyQt6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication, Qt
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


MENUS = (
    QT_TRANSLATE_NOOP("Deeds", "&Job"),
    QT_TRANSLATE_NOOP("Deeds", "&Change"),
    QT_TRANSLATE_NOOP("Deeds", "&Film"),
    QT_TRANSLATE_NOOP("Deeds", "&Step"),
    QT_TRANSLATE_NOOP("Deeds", "&Still"),
    QT_TRANSLATE_NOOP("Deeds", "&Look"),
    QT_TRANSLATE_NOOP("Deeds", "&Proposals"),
    QT_TRANSLATE_NOOP("Deeds", "&Review"),
    QT_TRANSLATE_NOOP("Deeds", "&Help"),
)

DEEDS = (
    Deed(
        "open", "&Job", QT_TRANSLATE_NOOP("Deeds", "&Open a procedure or recordings …"), ("Ctrl+O",)
    ),
    Deed(
        "add_recording", "&Job", QT_TRANSLATE_NOOP("Deeds", "&Add a recording …"), ("Ctrl+Shift+O",)
    ),
    Deed("save", "&Job", QT_TRANSLATE_NOOP("Deeds", "&Save"), ("Ctrl+S",)),
    Deed(
        "save_as",
        "&Job",
        QT_TRANSLATE_NOOP("Deeds", "Save in another &folder …"),
        ("Ctrl+Shift+S",),
    ),
    Deed("publish", "&Job", QT_TRANSLATE_NOOP("Deeds", "&Publish …"), ("Ctrl+P",)),
    Deed(
        "front", "&Job", QT_TRANSLATE_NOOP("Deeds", "&Title, machine, limits of use …"), ("Ctrl+T",)
    ),
    Deed(
        "lists",
        "&Job",
        QT_TRANSLATE_NOOP("Deeds", "Pa&rts, tools, supplies, sources …"),
        ("Ctrl+L",),
    ),
    Deed(
        "close_beside",
        "&Job",
        QT_TRANSLATE_NOOP("Deeds", "Close the windows &beside the bench (Esc in them)"),
        ("Ctrl+W",),
    ),
    Deed("close", "&Job", QT_TRANSLATE_NOOP("Deeds", "&Close the window"), ("Ctrl+Q",)),
    Deed("undo", "&Change", QT_TRANSLATE_NOOP("Deeds", "&Undo"), ("Ctrl+Z",)),
    Deed("redo", "&Change", QT_TRANSLATE_NOOP("Deeds", "&Redo"), ("Ctrl+Y", "Ctrl+Shift+Z")),
    Deed(
        "to_film",
        "&Change",
        QT_TRANSLATE_NOOP("Deeds", "Leave the &text, back to the film"),
        ("Escape",),
    ),
    Deed("play", "&Film", QT_TRANSLATE_NOOP("Deeds", "&Run or halt"), ("Space",)),
    Deed(
        "half_speed",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "Slower: &half speed"),
        ("-",),
        checkable=True,
    ),
    Deed(
        "double_speed",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "Faster: &double speed"),
        ("+", "="),
        checkable=True,
    ),
    Deed(
        "loop",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "Run the step o&ver and over"),
        ("L",),
        checkable=True,
    ),
    Deed("frame_back", "&Film", QT_TRANSLATE_NOOP("Deeds", "One frame &back"), ("Left",)),
    Deed("frame_on", "&Film", QT_TRANSLATE_NOOP("Deeds", "One frame &on"), ("Right",)),
    Deed("second_back", "&Film", QT_TRANSLATE_NOOP("Deeds", "One second b&ack"), ("Shift+Left",)),
    Deed("second_on", "&Film", QT_TRANSLATE_NOOP("Deeds", "One second o&n"), ("Shift+Right",)),
    Deed(
        "shot_back",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "To the shot chan&ge before"),
        ("Ctrl+Left",),
    ),
    Deed(
        "shot_on", "&Film", QT_TRANSLATE_NOOP("Deeds", "To the next shot &change"), ("Ctrl+Right",)
    ),
    Deed(
        "pause_back",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "To the pause in speech before"),
        ("Alt+Left",),
    ),
    Deed(
        "pause_on",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "To the next &pause in speech"),
        ("Alt+Right",),
    ),
    Deed(
        "film_start",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "To the &start of the film"),
        ("Ctrl+Home",),
    ),
    Deed("film_end", "&Film", QT_TRANSLATE_NOOP("Deeds", "To the &end of the film"), ("Ctrl+End",)),
    Deed("go_to_time", "&Film", QT_TRANSLATE_NOOP("Deeds", "Go to a &time …"), ("G",)),
    Deed(
        "other_recording",
        "&Film",
        QT_TRANSLATE_NOOP("Deeds", "To the other recording, same moment"),
        ("R",),
    ),
    Deed(
        "mark",
        "&Step",
        QT_TRANSLATE_NOOP("Deeds", "&Mark: begin a step here, then end it here"),
        ("M",),
    ),
    Deed("unmark", "&Step", QT_TRANSLATE_NOOP("Deeds", "Ta&ke the mark back"), ("Shift+M",)),
    Deed("write_action", "&Step", QT_TRANSLATE_NOOP("Deeds", "&Write its action"), ("W", "F2")),
    Deed("begin_here", "&Step", QT_TRANSLATE_NOOP("Deeds", "&Begin it from this frame"), ("F",)),
    Deed("end_here", "&Step", QT_TRANSLATE_NOOP("Deeds", "End it he&re, with this frame"), ("E",)),
    Deed("measurement", "&Step", QT_TRANSLATE_NOOP("Deeds", "Add a m&easurement"), ("D",)),
    Deed("torque", "&Step", QT_TRANSLATE_NOOP("Deeds", "Add a t&orque"), ("T",)),
    Deed("hazard", "&Step", QT_TRANSLATE_NOOP("Deeds", "Add a &hazard message …"), ("H",)),
    Deed("comes_off", "&Step", QT_TRANSLATE_NOOP("Deeds", "Say what &comes off …"), ("O",)),
    Deed("goes_on", "&Step", QT_TRANSLATE_NOOP("Deeds", "Say what goes o&n …"), ("I",)),
    Deed(
        "criterion",
        "&Step",
        QT_TRANSLATE_NOOP("Deeds", "Add what is &looked at (criterion)"),
        ("K",),
    ),
    Deed(
        "critical_point", "&Step", QT_TRANSLATE_NOOP("Deeds", "Add a critical &point"), ("Shift+K",)
    ),
    Deed("decision", "&Step", QT_TRANSLATE_NOOP("Deeds", "Add a &decision"), ("Shift+D",)),
    Deed("uses", "&Step", QT_TRANSLATE_NOOP("Deeds", "Add a tool or s&upply …"), ("U",)),
    Deed("step_before", "&Step", QT_TRANSLATE_NOOP("Deeds", "To the step be&fore"), ("Up", "PgUp")),
    Deed(
        "step_after", "&Step", QT_TRANSLATE_NOOP("Deeds", "To the ne&xt step"), ("Down", "PgDown")
    ),
    Deed("step_up", "&Step", QT_TRANSLATE_NOOP("Deeds", "Move it up"), ("Ctrl+Up",)),
    Deed("step_down", "&Step", QT_TRANSLATE_NOOP("Deeds", "Move it down"), ("Ctrl+Down",)),
    Deed("split", "&Step", QT_TRANSLATE_NOOP("Deeds", "&Split it here"), ("/",)),
    Deed("join", "&Step", QT_TRANSLATE_NOOP("Deeds", "&Join it with the next"), ("J",)),
    Deed("section", "&Step", QT_TRANSLATE_NOOP("Deeds", "Begin a section with it …"), ("N",)),
    Deed("remove_step", "&Step", QT_TRANSLATE_NOOP("Deeds", "Remove it"), ("Ctrl+Delete",)),
    Deed("take_still", "&Still", QT_TRANSLATE_NOOP("Deeds", "&Take this frame"), ("P",)),
    Deed(
        "best_still", "&Still", QT_TRANSLATE_NOOP("Deeds", "Take the &best frame near here"), ("B",)
    ),
    Deed("still", "&Still", QT_TRANSLATE_NOOP("Deeds", "&Show the still"), ("S",), checkable=True),
    Deed("arrow", "&Still", QT_TRANSLATE_NOOP("Deeds", "Draw an &arrow"), ("A",)),
    Deed("ring", "&Still", QT_TRANSLATE_NOOP("Deeds", "Draw a &ring"), ("Shift+A",)),
    Deed("box", "&Still", QT_TRANSLATE_NOOP("Deeds", "Draw a bo&x"), ("X",)),
    Deed("label", "&Still", QT_TRANSLATE_NOOP("Deeds", "Write a &label"), ("Shift+X",)),
    Deed("leader", "&Still", QT_TRANSLATE_NOOP("Deeds", "Draw a &numbered leader"), ("Shift+N",)),
    Deed("mask", "&Still", QT_TRANSLATE_NOOP("Deeds", "&Hide an area"), ("Shift+H",)),
    Deed("alt", "&Still", QT_TRANSLATE_NOOP("Deeds", "Say &what it shows"), ("Shift+W",)),
    Deed("next_remark", "&Look", QT_TRANSLATE_NOOP("Deeds", "To the next &remark"), ("F8",)),
    Deed(
        "previous_remark",
        "&Look",
        QT_TRANSLATE_NOOP("Deeds", "To the remark &before"),
        ("Shift+F8",),
    ),
    Deed("show_remarks", "&Look", QT_TRANSLATE_NOOP("Deeds", "Show re&marks"), ("Ctrl+1",)),
    Deed(
        "show_ledger",
        "&Look",
        QT_TRANSLATE_NOOP("Deeds", "Show what is &off the machine"),
        ("Ctrl+2",),
    ),
    Deed("show_speech", "&Look", QT_TRANSLATE_NOOP("Deeds", "Show what &is said"), ("Ctrl+3",)),
    Deed("show_review", "&Look", QT_TRANSLATE_NOOP("Deeds", "Show the re&view"), ("Ctrl+4",)),
    Deed("show_proposals", "&Look", QT_TRANSLATE_NOOP("Deeds", "Show &proposals"), ("Ctrl+5",)),
    Deed(
        "more_room",
        "&Look",
        QT_TRANSLATE_NOOP("Deeds", "More room &under the film"),
        ("F5",),
        checkable=True,
    ),
    Deed("dark", "&Look", QT_TRANSLATE_NOOP("Deeds", "&Dark colours"), ("Ctrl+D",), checkable=True),
    Deed("larger", "&Look", QT_TRANSLATE_NOOP("Deeds", "&Larger type"), ("Ctrl++", "Ctrl+=")),
    Deed("smaller", "&Look", QT_TRANSLATE_NOOP("Deeds", "&Smaller type"), ("Ctrl+-",)),
    Deed(
        "propose",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "&Propose from what is said"),
        ("Ctrl+Shift+P",),
    ),
    Deed("accept_proposal", "&Proposals", QT_TRANSLATE_NOOP("Deeds", "&Accept it"), ("Y",)),
    Deed("change_proposal", "&Proposals", QT_TRANSLATE_NOOP("Deeds", "&Change it …"), ("C",)),
    Deed("refuse_proposal", "&Proposals", QT_TRANSLATE_NOOP("Deeds", "&Refuse it"), ("V",)),
    Deed(
        "accept_kind",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "Accept all of this &kind that are shown and open"),
        ("Shift+Y",),
    ),
    Deed(
        "refuse_kind",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "Re&fuse all of this kind that are shown and open"),
        ("Shift+V",),
    ),
    Deed(
        "next_proposal",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "To the &next proposal that is open"),
        ("F6",),
    ),
    Deed(
        "previous_proposal",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "To the open proposal &before"),
        ("Shift+F6",),
    ),
    Deed(
        "next_kind",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "Show the next kind that has open &ones"),
        ("F7",),
    ),
    Deed(
        "previous_kind",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "Show the kind before that has &some"),
        ("Shift+F7",),
    ),
    Deed(
        "answer_question",
        "&Proposals",
        QT_TRANSLATE_NOOP("Deeds", "Ans&wer the question: to the field it asks for"),
        ("Q",),
    ),
    Deed("accept", "&Review", QT_TRANSLATE_NOOP("Deeds", "&Accept"), ("Ctrl+Return",)),
    Deed("query", "&Review", QT_TRANSLATE_NOOP("Deeds", "&Query …"), ("Ctrl+Shift+Return",)),
    Deed(
        "next_point", "&Review", QT_TRANSLATE_NOOP("Deeds", "To the &next number or point"), ("F9",)
    ),
    Deed(
        "previous_point",
        "&Review",
        QT_TRANSLATE_NOOP("Deeds", "To the number or point &before"),
        ("Shift+F9",),
    ),
    Deed("keys", "&Help", QT_TRANSLATE_NOOP("Deeds", "All &keys"), ("F1",)),
    Deed("about", "&Help", QT_TRANSLATE_NOOP("Deeds", "&Versions, places, report for support")),
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
