"""The running account of parts: what came off goes back, or is made good by a new one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.document import Procedure
from author.procedure.lists import Part, Stack
from author.procedure.steps import Movement


@dataclass
class Account:
    """Where the pieces of one part are, as the steps go by.

    Attributes:
        on: fitted to the machine.
        in_hand: taken off and kept.
        gone: taken off and scrapped, not yet made good.
        last_off: path of the movement that took the last one off.
    """

    on: int
    in_hand: int = 0
    gone: int = 0
    last_off: Path = field(default=())


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on the ledger."""
    procedure = subject.procedure
    parts = {part.id: part for part in procedure.parts}
    accounts = {part.id: Account(part.quantity) for part in procedure.parts}
    for path, movement in movements(procedure):
        if movement.part in parts:
            yield from _post(parts[movement.part], accounts[movement.part], movement, path)
    for name, account in accounts.items():
        yield from _left_over(name, account)
    yield from _stacks(procedure)
    yield from _order_if(procedure)
    yield from _never_used(procedure)


def movements(procedure: Procedure) -> Iterator[tuple[Path, Movement]]:
    """Yield every entry of the ledger in the order of the work, with its path."""
    for placed in procedure.placed_steps():
        for index, movement in enumerate(placed.step.ledger or ()):
            yield (*placed.path, "ledger", index), movement


def _post(part: Part, account: Account, movement: Movement, path: Path) -> Iterator[Remark]:
    count = movement.quantity
    if movement.act in {"removes", "destroys"}:
        if count > account.on:
            yield remark(
                "ledger.quantity",
                f"{count} of '{part.id}' come off, but {account.on} are on the machine",
                path,
            )
        count = min(count, account.on)
        account.on -= count
        account.last_off = path
        if movement.act == "removes":
            account.in_hand += count
        else:
            account.gone += count
    elif movement.act == "discards":
        if count > account.in_hand:
            yield remark(
                "ledger.quantity",
                f"{count} of '{part.id}' are scrapped, but {account.in_hand} are in hand",
                path,
                "Take it off in this step or an earlier one",
            )
        count = min(count, account.in_hand)
        account.in_hand -= count
        account.gone += count
    else:
        yield from _goes_on(part, account, movement, path)


def _goes_on(part: Part, account: Account, movement: Movement, path: Path) -> Iterator[Remark]:
    count = movement.quantity
    if movement.act == "refits":
        if part.single_use:
            yield remark("ledger.single_use", f"'{part.id}' is single use and goes back", path)
        elif part.replace == "always":
            yield remark("ledger.always_new", f"the old '{part.id}' goes back", path)
        available = account.in_hand
        account.in_hand -= min(count, available)
    else:
        # A new one takes the place of one that was scrapped, or of one still in hand,
        # which is then left over and needs no way back.
        available = account.gone + account.in_hand
        from_gone = min(count, account.gone)
        account.gone -= from_gone
        account.in_hand -= min(count - from_gone, account.in_hand)
    if count > available:
        yield remark(
            "ledger.not_removed",
            f"{count} of '{part.id}' {'go' if count > 1 else 'goes'} on, "
            f"but {available or 'none'} came off",
            path,
        )
    account.on += min(count, available)


def _left_over(name: str, account: Account) -> Iterator[Remark]:
    if account.in_hand:
        yield remark(
            "ledger.not_refitted",
            f"{account.in_hand} of '{name}' came off and never "
            f"{'go' if account.in_hand > 1 else 'goes'} back",
            account.last_off,
        )
    if account.gone:
        yield remark(
            "ledger.not_replaced",
            f"{account.gone} of '{name}' {'were' if account.gone > 1 else 'was'} scrapped "
            "and no new one goes in",
            account.last_off,
        )


def _stacks(procedure: Procedure) -> Iterator[Remark]:
    quantities = {part.id: part.quantity for part in procedure.parts}
    for stack in procedure.stacks or ():
        pile = _Pile(stack, quantities)
        for path, movement in movements(procedure):
            if movement.act == "discards" or movement.part not in stack.inside_out:
                continue
            off = movement.act in {"removes", "destroys"}
            moves = [pile.move(movement.part, off=off) for _ in range(movement.quantity)]
            if not all(moves):
                yield remark(
                    "ledger.stack_order",
                    f"'{movement.part}' {'comes off' if off else 'goes on'} out of the order of "
                    f"'{stack.id}'",
                    path,
                )


class _Pile:
    """The pieces of a stack that are on, place by place from the inside.

    Like parts are told apart by their place: a part that is listed more than once has
    a piece at each of its places, the rest of its quantity at the innermost.
    """

    def __init__(self, stack: Stack, quantities: Mapping[str, int]) -> None:
        self.parts = stack.inside_out
        places = Counter(self.parts)
        self.room = [1] * len(self.parts)
        for part, count in places.items():
            self.room[self.parts.index(part)] += max(0, quantities.get(part, 1) - count)
        self.on = list(self.room)

    def move(self, part: str, *, off: bool) -> bool:
        """Take the outermost piece of a part off, or put one at its innermost free place.

        Returns:
            Whether nothing that lies further out was on. A piece that is not there, or
            has no place, moves nothing: another rule tells of it.
        """
        here = [i for i, name in enumerate(self.parts) if name == part]
        if off:
            place = next((i for i in reversed(here) if self.on[i]), None)
        else:
            place = next((i for i in here if self.on[i] < self.room[i]), None)
        if place is None:
            return True
        self.on[place] += -1 if off else 1
        return not any(self.on[place + 1 :])


def _order_if(procedure: Procedure) -> Iterator[Remark]:
    for index, part in enumerate(procedure.parts):
        if part.order == "only_if" and part.order_if is None:
            yield remark(
                "ledger.order_if", f"when '{part.id}' is ordered is not said", ("parts", index)
            )


def _never_used(procedure: Procedure) -> Iterator[Remark]:
    used: Counter[tuple[str, str]] = Counter()
    for placed in procedure.placed_steps():
        step = placed.step
        used.update(("tools", tool) for tool in step.tools or ())
        used.update(("tools", tool) for way in step.ladder or () for tool in way.tools or ())
        used.update(("tools", s.instrument) for s in step.all_specs() if s.instrument)
        used.update(("supplies", use.supply) for use in step.supplies or ())
        used.update(("parts", movement.part) for movement in step.ledger or ())
    for name in ("parts", "tools", "supplies"):
        # In a draft 'none' may be what the file began with; later it was thought of.
        if not getattr(procedure, name) and procedure.state == "draft":
            yield remark("ledger.nothing_listed", f"no {name} are listed", (name,))
        for index, entry in enumerate(getattr(procedure, name)):
            if not used[(name, entry.id)]:
                yield remark("ledger.never_used", f"no step uses '{entry.id}'", (name, index))
