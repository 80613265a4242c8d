"""Changes to the small procedure that more than one family of rules is tried with."""

from collections.abc import Callable
from typing import Any

from document.samples import Plain, spec, step

Change = Callable[[Plain], Any]
Case = tuple[str, list[Change], list[Change]]
"""A rule, changes that break it, changes that come near and do not."""

FASTENERS = [{"name": "A", "at": ["0.2", "0.5"]}, {"name": "B", "at": ["0.8", "0.5"]}]
GO = {"when": "It is", "step": "guard-on"}
BACK = {"when": "It is not", "step": "guard-off"}
STOP = {"when": "It is gone", "stop": "Ask the foreman"}


def sets(**keys: Any) -> Change:
    """Change the limit spec; a key that is None is taken out."""
    return lambda p: put(spec(p), **keys)


def put(block: Plain, **keys: Any) -> None:
    for key, value in keys.items():
        if value is None:
            block.pop(key)
        else:
            block[key] = value


def tool(**keys: Any) -> Change:
    return lambda p: put(p["tools"][0], **keys)


def act(index: int, action: str) -> Change:
    return lambda p: step(p, index).update(action=action)


def more(**keys: Any) -> Change:
    """Another limit spec beside the first."""

    def change(plain: Plain) -> None:
        other = spec(plain) | {"id": "other"}
        put(other, **keys)
        step(plain, 1)["specs"].append(other)

    return change


def torque(plain: Plain, **keys: Any) -> None:
    plain["tools"].append({"id": "wrench", "name": "Torque wrench", "measures": "N·m"})
    step(plain, 1)["torques"] = [
        {"id": "clamp", "characteristic": "Torque of the clamp", "quantity": "torque",
         "unit": "N·m", "lower": "4", "upper": "6", "instrument": "wrench", "source": "card",
         "thread": "M5", "threads": "Dry", **keys}
    ]  # fmt: skip


def torqued(**keys: Any) -> Change:
    return lambda p: torque(p, **keys)


def part(**keys: Any) -> Change:
    return lambda p: put(p["parts"][0], **keys)


def named(name: str) -> Change:
    return part(name=name)


def parts(**others: Any) -> Change:
    """More parts, by id, with what is particular to each."""

    def change(plain: Plain) -> None:
        plain["parts"].extend(
            {"id": name, "name": "Piece", "replace": "never", "order": "never", **keys}
            for name, keys in others.items()
        )

    return change


def moves(*told: tuple[Any, ...]) -> list[Plain]:
    """Movements told as act, part, quantity and places."""
    found = []
    for act, part, *rest in told:
        movement: Plain = {"act": act, "part": part}
        movement.update(zip(("quantity", "places"), rest, strict=False))
        found.append(movement)
    return found


def acts(off: list[tuple[Any, ...]], on: list[tuple[Any, ...]]) -> Change:
    """What the two steps do with parts."""

    def change(plain: Plain) -> None:
        for index, told in ((0, off), (1, on)):
            step(plain, index)["ledger"] = moves(*told)
            if not told:
                del step(plain, index)["ledger"]

    return change


def later(*steps: Plain) -> Change:
    """More steps behind the two."""
    known = {"action": "Look at it.", "not_filmed": "Nothing to be seen"}
    return lambda p: p["sections"][0]["steps"].extend(known | one for one in steps)


def decision(*ways: Plain, at: int = 0, **keys: Any) -> Change:
    told = {"question": "Whole", "ways": list(ways), **keys}
    return lambda p: step(p, at).update(decision=told)


def finding(**keys: Any) -> Change:
    known = {"id": "crack", "what": "It is cracked", "state": "deferred"} | keys
    return lambda p: p.update(findings=[known])


def before(*left: Plain, **keys: Any) -> Change:
    """A prerequisite, and what it hands over."""
    known: Plain = {"id": "strip", "what": "The guard is bare"}
    return lambda p: p.update(prerequisites=[_passing(known | keys, "hands_over", left)])


def after(*left: Plain, **keys: Any) -> Change:
    """A close-out, and what it discharges."""
    known: Plain = {"id": "dress", "what": "The guard is made whole"}
    return lambda p: p.update(close_outs=[_passing(known | keys, "discharges", left)])


def _passing(entry: Plain, key: str, left: tuple[Plain, ...]) -> Plain:
    return entry | {key: list(left)} if left else entry


def other(name: str = "guard-strip", revision: int | None = 2) -> Plain:
    """A reference to another procedure."""
    return {"id": name} if revision is None else {"id": name, "revision": revision}
