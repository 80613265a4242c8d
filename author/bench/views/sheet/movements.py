"""What comes off and goes on in a step, with what the ledger says after it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QLabel, QToolButton, QVBoxLayout, QWidget

from author.bench.fields import ChoiceField, Option, Place, TicksField, read
from author.bench.views.offers import Offer
from author.bench.views.part_picker import Picker, fresh_offers, picked, see_to_order
from author.bench.views.sheet.forms import EntryList
from author.bench.views.sheet.group import ListGroup
from author.bench.views.sheet.named import NamedChoice
from author.bench.views.sheet.rows import Row
from author.bench.words import translate
from author.editing import AddEntry
from author.procedure.document import Procedure
from author.procedure.items import Part
from author.procedure.ledger import Account, Bookkeeper
from author.procedure.steps import Movement, Step

if TYPE_CHECKING:
    from author.bench.session import Session

Way = Literal["off", "on"]


class PlacesTicks(TicksField):
    """The named places of a part at which a movement is done."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, self._places, name=translate("Sheet", "At which places"))

    @property
    def wanted(self) -> bool:
        """Whether there are places to choose from."""
        return bool(self._places())

    def _places(self) -> list[Option]:
        at = self.place.at if hasattr(self, "place") else None
        movement = None if at is None else read(self.place.session.procedure, at[:-1])
        if not isinstance(movement, Movement):
            return []
        part = read(self.place.session.procedure, ("parts", movement.part))
        known = (part.places if isinstance(part, Part) else None) or ()
        return [(each, each) for each in dict.fromkeys((*known, *(movement.places or ())))]


class ActChoice(ChoiceField):
    """What is done with a part; one of which a new one goes on has to be ordered."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, _acts, name=translate("Sheet", "What is done"))

    def _take(self, row: int) -> None:
        session = self.place.session
        with session.document.gesture(translate("Sheet", "Say what is done with the part")):
            super()._take(row)
            _see_to_order(self.place)


class MovedPart(NamedChoice):
    """The part that is moved; one of which a new one goes on has to be ordered."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, "parts", translate("Sheet", "Part"))

    def chosen(self) -> None:
        """See to the part's order as well."""
        _see_to_order(self.place)


def _see_to_order(place: Place) -> None:
    movement = None if place.at is None else read(place.session.procedure, place.at[:-1])
    if isinstance(movement, Movement) and movement.act == "replaces":
        see_to_order(place.session, movement.part)


def _acts() -> list[Option]:
    return [
        ("removes", translate("Sheet", "comes off, is kept")),
        ("refits", translate("Sheet", "goes back on, the same one")),
        ("replaces", translate("Sheet", "a new one goes on")),
        ("discards", translate("Sheet", "is in hand, becomes scrap")),
        ("destroys", translate("Sheet", "comes off as scrap")),
    ]


def movement_row() -> Row:
    """Return the row of a ledger entry."""
    rows = (
        Row("act", translate("Sheet", "What is done"), "own", make=ActChoice),
        Row("part", translate("Sheet", "Part"), "own", make=MovedPart),
        Row("quantity", translate("Sheet", "How many"), "count"),
        Row(
            "places",
            translate("Sheet", "At which places"),
            "own",
            make=PlacesTicks,
            when_there=True,
        ),
        Row(
            "orientation",
            translate("Sheet", "Which way round"),
            "long",
            hint=translate("Sheet", "relative to the machine"),
        ),
    )
    return Row(
        "ledger",
        translate("Sheet", "Off and on"),
        "entries",
        rows=rows,
        one=translate("Sheet", "movement"),
    )


def accounts_at(procedure: Procedure, step: str) -> dict[str, Account]:
    """Return where the pieces of every part are after a step, in the order written.

    Args:
        procedure: the document. Decisions are not followed: the ledger's own view does.
        step: id of the step.
    """
    keeper = Bookkeeper(procedure)
    book = keeper.opening()
    for placed in procedure.placed_steps():
        for number, movement in enumerate(placed.step.ledger or ()):
            keeper.post(book, movement, (*placed.path, "ledger", number))
        if placed.step.id == step:
            break
    return book.accounts


def in_words(account: Account) -> str:
    """Return where the pieces of a part are."""
    said = []
    if account.on:
        said.append(translate("Sheet", "{0} on the machine").format(account.on))
    if account.in_hand:
        said.append(translate("Sheet", "{0} in hand").format(account.in_hand))
    if account.gone:
        said.append(translate("Sheet", "{0} scrapped, not yet replaced").format(account.gone))
    return ", ".join(said) or translate("Sheet", "none")


def movement_of(part: Part, account: Account, way: Way) -> dict[str, Any]:
    """Return the entry that is most likely meant when a part comes off or goes on.

    What is always replaced or used once comes off as scrap and goes on new; all pieces
    that are there move together.
    """
    scrap = part.single_use or part.replace == "always"
    if way == "off":
        act, count = "destroys" if scrap else "removes", account.on
    else:
        new = scrap or (account.gone > 0 and not account.in_hand)
        act = "replaces" if new else "refits"
        count = account.in_hand + (account.gone if new else 0)
    return {"act": act, "part": part.id, "quantity": max(1, count)}


class MovementsGroup(ListGroup):
    """What comes off and goes on in a step."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session, translate("Sheet", "Comes off, goes on"), "ledger", movement_row()
        )
        self._told = QLabel(self)
        self._told.setObjectName("after-this-step")

    def make_body(self) -> QWidget:
        """Make the list and the words of the ledger under it."""
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 0)
        self.entries = EntryList(self.session, self.row, with_button=False)
        column.addWidget(self.entries)
        self._told.setWordWrap(True)
        self._told.setTextFormat(Qt.TextFormat.PlainText)
        self._told.setProperty("quiet", True)
        self._told.setAccessibleName(translate("Sheet", "The ledger after this step"))
        column.addWidget(self._told)
        return box

    def show_step(self, step: Step | None) -> None:
        """Show another step, and what the ledger says after it."""
        super().show_step(step)
        if step is None or self.isHidden():
            return
        self._told.setText(self._after(step))

    def _after(self, step: Step) -> str:
        procedure = self.session.procedure
        names = {part.id: part.name for part in procedure.parts}
        accounts = accounts_at(procedure, step.id)
        parts = dict.fromkeys(movement.part for movement in step.ledger or ())
        lines = [f"{names[part]}: {in_words(accounts[part])}" for part in parts if part in accounts]
        return translate("Sheet", "After this step") + "\n" + "\n".join(lines) if lines else ""

    def pick(self, over: QWidget, way: Way) -> Picker | None:
        """Ask which part comes off or goes on."""
        if not self.step:
            return None
        procedure = self.session.procedure
        accounts = accounts_at(procedure, self.step)
        parts = sorted(procedure.parts, key=lambda part: not _movable(accounts[part.id], way))
        offers = [
            Offer(("parts", part.id), part.name, in_words(accounts[part.id])) for part in parts
        ]
        asked = (
            translate("Sheet", "What comes off?")
            if way == "off"
            else translate("Sheet", "What goes on?")
        )
        picker = Picker(over, asked, offers, fresh_offers("parts"))
        step = self.step
        picker.taken.connect(lambda offer: self._take(offer, way, step))
        return picker

    def _take(self, offer: Offer, way: Way, step: str) -> None:
        if self.back_to(step) is None:
            return
        label = (
            translate("Sheet", "Say what comes off")
            if way == "off"
            else translate("Sheet", "Say what goes on")
        )
        with self.session.document.gesture(label):
            found = picked(self.session, offer)
            if found is None:
                return
            procedure = self.session.procedure
            part = read(procedure, ("parts", found[1]))
            account = accounts_at(procedure, self.step)[part.id]
            entry = movement_of(part, account, way)
            if not self.session.do(AddEntry(self.address("ledger"), entry)):
                return
            if entry["act"] == "replaces":
                see_to_order(self.session, found[1])
        self.ask_for()

    def head_button(self) -> QToolButton | None:
        """Make the button at the end of the heading."""
        return self.small_button(
            translate("Sheet", "Add"), translate("Sheet", "Say what comes off"), self.add
        )

    def add(self, entry: Any = None) -> None:
        """Add an entry; where none is given, ask which part comes off."""
        if entry is None:
            self.pick(self.window() or self, "off")
        else:
            super().add(entry)


def _movable(account: Account, way: Way) -> bool:
    return account.on > 0 if way == "off" else account.in_hand + account.gone > 0
