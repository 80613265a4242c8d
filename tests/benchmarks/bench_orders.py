"""Measures the action sentences of proposed steps against those a good author would write.

    python tests/benchmarks/bench_orders.py [FOLDER] [-v] [NAME…]

Steps are matched by the moment they begin. Of those matched it counts how many have the verb
(or one that means the same), the head noun of the object and what is done to a part; of all
proposed actions how many stand without a remark of the rules of wording. "In the step" looks at
all orders of the step, also those that find no room in its action. ``-v`` prints every proposed
step beside the gold one, ``!`` before what is not right, for folders that may be read.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.narrating import MEASURED, READABLE, Narration, narrations

from author.checks import clauses
from author.checks.text import count_words, sentences, tokens
from author.checks.vague import reckoned, vague
from author.proposals.claims import propose
from author.proposals.language.noun_phrases import phrases_of
from author.proposals.language.tokens import tokens_of
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular
from author.proposals.proposal import Proposal

_SAME = [
    set(group.split())
    for group in (
        "remove take pull lift slide slip pop prise pry drive knock tap draw unscrew unbolt undo "
        "unclip unhook withdraw extract get disconnect unplug press strip detach back twist split "
        "wind push drop separate ease drift part fish spin lever loosen ream cut tip slacken crack "
        "break open peel hoist chisel unlatch free unthread release",
        "fit refit put install insert place set slide slip press seat push drop drive tap screw "
        "reinstall replace mount bolt clip hook connect reconnect plug close lower thread feed "
        "assemble position clamp hang pop ease stand secure bring start return lay rest work",
        "loosen slacken crack undo back release break unscrew ease",
        "tighten torque nip do snug run screw pull wind pinch turn lock secure bolt bring",
        "check inspect look examine feel test measure see try verify spin rock confirm make gauge "
        "find watch listen run read turn",
        "clean wipe wash scrub scrape brush rinse blow degrease dry polish flush clear dress",
        "grease oil lubricate smear apply put coat wet pack dab paint spread dip brush run lube "
        "squirt drop fill give",
        "turn switch isolate shut close disconnect lock knock flick put unplug open power start",
        "drain empty tip bleed let release blow vent dump run",
        "fill pour top add put prime refill",
        "mark scribe note draw photograph paint write tag label punch count take",
        "hold keep support prop lock steady chock block brace grip clamp jack",
        "set adjust turn wind move bring move align line shim zero bring centre put",
        "discard throw bin scrap replace chuck renew",
        "replace swap renew change fit exchange put",
        "wear put pull",
        "heat warm",
        "raise lift jack hoist",
        "lower drop",
        "cut trim snip",
        "bend fold knock peen tap flatten stake",
        "repeat do",
    )
]
_OFF = {"off", "out", "away", "apart", "free"}
_ON = {"on", "in", "into", "onto", "back", "home", "over"}
_REMOVE, _FIT = _SAME[0], _SAME[1]
_REPLACE = {"replace", "swap", "renew", "change", "exchange"}
_DISCARD = {"discard", "throw", "bin", "scrap", "chuck"}


def orders_in(action: str) -> list[tuple[str, str | None, str | None]]:
    """Return verb, head noun of the object and act of each order in an action."""
    parts = [
        part
        for sentence in sentences(action)
        for part in clauses.clauses(
            clauses.without_asides([t for t in tokens(sentence) if t != "."])
        )
    ]
    found = []
    for part in parts:
        start = 0
        for at, word in enumerate(part):
            if word == "and" and at + 1 < len(part) and base_of(part[at + 1]) == part[at + 1]:
                found += _order(part[start:at])
                start = at + 1
        found += _order(part[start:])
    return found


def _order(words: Sequence[str]) -> list[tuple[str, str | None, str | None]]:
    left = list(words)
    if left[:2] == ["do", "not"]:
        left = left[2:]
    while left and (left[0] in {"and", "then", "not", "never", "don't", "first", "always"}
                    or left[0].endswith("ly")):  # fmt: skip
        left = left[1:]
    if not left or base_of(left[0]) != left[0]:
        return []
    return [(left[0], _head(left[1:]), _act(left))]


def _head(words: Sequence[str]) -> str | None:
    if words and words[0] in {"it", "them"}:
        return words[0]
    if len(words) > 1 and words[0] in _OFF | _ON | {"up", "down"} and words[1] in {"it", "them"}:
        return words[1]
    said = tokens_of(" ".join(words))
    for phrase in phrases_of(said, frozenset()):
        name = [t.low for t in said[phrase.name_first : phrase.stop]]
        return singular(name[-1]) if name else None
    return None


def _act(words: Sequence[str]) -> str | None:
    verb, ways = words[0], set(words[1:9])
    if verb in _DISCARD:
        return "discards"
    if verb in _REPLACE:
        return "replaces"
    if verb in {"remove", "unscrew", "unbolt", "withdraw", "extract", "unclip", "unhook", "undo",
                "disconnect", "unplug", "detach"}:  # fmt: skip
        return "removes"
    if verb in _REMOVE and ways & _OFF:
        return "removes"
    if verb in {"fit", "refit", "install", "reinstall", "insert"}:
        return "refits"
    return "refits" if verb in _FIT and ways & _ON else None


def same_verb(one: str, two: str) -> bool:
    return one == two or any(one in group and two in group for group in _SAME)


def remarks(action: str) -> Iterator[str]:
    """Yield what the rules of wording have to say of an action."""
    said = [clauses.without_asides(tokens(s)) for s in sentences(action)]
    if max(map(count_words, map(tokens, sentences(action)))) > 20:
        yield "length"
    found = [order for words in said for order in clauses.orders(words)]
    if len(found) > 2 or (sum(map(clauses.holds_order, said)) > 1 and len(said) > 1):
        yield "actions"
    if len(said) > 1:
        yield "sentences"
    if clauses.not_an_order(said[0]) is not None:
        yield "imperative"
    if any(clauses.condition_behind(words) for words in said):
        yield "condition"
    if vague(action) or reckoned(action):
        yield f"vague {vague(action) or reckoned(action)}"


def matched(narration: Narration, steps: Sequence[Proposal]) -> list[tuple[Proposal, str | None]]:
    """Return the proposed steps, each with the gold action of the step that begins with it."""
    action = {s["id"]: s["action"] for s in narration.data["steps"]}
    begins: dict[str, Decimal] = {}
    for s in narration.sentences:
        if step := s.get("step"):
            begins.setdefault(step, Decimal(s["from"]))
    left = dict(begins)
    pairs: list[tuple[Proposal, str | None]] = []
    for step in steps:
        near = [g for g, at in left.items() if abs(at - step.start) <= 2]
        gold = min(near, key=lambda g: abs(left[g] - step.start)) if near else None
        if gold is not None:
            del left[gold]
        pairs.append((step, action.get(gold) if gold else None))
    return pairs


def write(line: str) -> None:
    sys.stdout.write(f"{line}\n")


def main(arguments: list[str]) -> None:
    folders = (*READABLE, *MEASURED)
    folder = next((one for one in folders if one in arguments), "build")
    told = "-v" in arguments and folder in READABLE
    names = {a for a in arguments if not a.startswith("-") and a not in folders}
    count: Counter[str] = Counter()
    why: Counter[str] = Counter()
    for narration in narrations(folder):
        if names and narration.name not in names:
            continue
        steps = [p for p in propose(narration.spoken()).proposals if p.kind == "step"]
        if told:
            write(f"\n== {narration.name} ({narration.data['style']})")
        for step, gold in matched(narration, steps):
            found = list(remarks(step.text))
            why.update(word.split()[0] for word in found)
            count["proposed"] += 1
            count["clean"] += not found
            flags = [f"!{word}" for word in found]
            if gold is not None:
                count["matched"] += 1
                flags += compare(step.text, gold, count)
                every = f"{step.detail('first') or ''} {step.text} {step.detail('also') or ''}"
                _in_step(every, gold, count)
            if told:
                write(f"{float(step.start):7.1f} {step.text}   {' '.join(flags)}")
                write(f"        said: {step.said[:400]}")
                write(f"        gold: {gold}")
    write(f"\nproposed {count['proposed']}, matched {count['matched']}")
    for name, of in (("clean", "proposed"), ("verb", "matched"), ("object", "matched"),
                     ("act", "matched"), ("verb in the step", "matched"),
                     ("object in the step", "matched")):  # fmt: skip
        write(f"{name:18} {count[name] / max(1, count[of]):.3f}")
    write(str(dict(why)))


def _in_step(text: str, gold: str, count: Counter[str]) -> None:
    """Count whether any order of a step, wherever it stands, has the verb and object wanted."""
    mine, theirs = orders_in(text), orders_in(gold)
    count["verb in the step"] += any(same_verb(m[0], t[0]) for m in mine for t in theirs)
    count["object in the step"] += any(m[1] == t[1] for m in mine for t in theirs)


def compare(text: str, gold: str, count: Counter[str]) -> list[str]:
    mine, theirs = orders_in(text), orders_in(gold)
    if not mine or not theirs:
        return ["!no order" if not mine else "!gold not read"]
    pairs = [(m, t) for m in mine for t in theirs if m is mine[0] or t is theirs[0]]
    verbs = [(m, t) for m, t in pairs if same_verb(m[0], t[0])]
    heads = [(m, t) for m, t in pairs if m[1] == t[1]]
    acts = [(m, t) for m, t in pairs if m[2] == t[2]]
    count["verb"] += bool(verbs)
    count["object"] += bool(heads)
    count["act"] += bool(acts)
    return ["" if verbs else "!verb", "" if heads else "!object", "" if acts else "!act"]


if __name__ == "__main__":
    main(sys.argv[1:])
