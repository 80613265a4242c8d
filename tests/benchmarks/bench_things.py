"""How many parts, tools, supplies and orders are found in the talk of tests/proposals.

``python tests/benchmarks/bench_things.py [-v] [--held] [narration.yaml …]``. Names are equal as
the lists gather them: number, spelling and size left out. "close" also lets a name pass that has
the same head and no word against it ("nut" for "axle nut").
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from proposals.lists import read_list
from proposals.said import said

from author.proposals.orders.wording import imperatives
from author.proposals.things.finding import things_in
from author.proposals.things.gathering import gathered, key_of

TALK = Path(__file__).parents[1] / "proposals"
_SUMS = ("hits", "got", "want")
KINDS = (("parts", "part"), ("tools", "tool"), ("supplies", "supply"))


def tell(*said: object) -> None:
    """Write one line."""
    sys.stdout.write(" ".join(map(str, said)) + "\n")


def _close(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    short, long = sorted((one, other), key=len)
    return short[-1] == long[-1] and set(short) <= set(long)


def _match(
    want: set[tuple[str, ...]], got: set[tuple[str, ...]], near: bool
) -> tuple[int, int, int]:
    left, hits = set(got), 0
    for one in want:
        found = one if one in left else None
        if found is None and near:
            found = next((two for two in left if _close(one, two)), None)
        if found is not None:
            left.discard(found)
            hits += 1
    return hits, len(got), len(want)


def _show(title: str, sums: Counter[str]) -> None:
    hits, got, want = sums["hits"], sums["got"], sums["want"]
    precision, recall = hits / got if got else 1.0, hits / want if want else 1.0
    f1 = 2 * precision * recall / (precision + recall) if precision + recall else 0.0
    tell(f"{title:28} P {precision:.3f}  R {recall:.3f}  F1 {f1:.3f}  ({hits}/{got}/{want})")


def measure(title: str, groups: list[list[dict[str, Any]]], verbose: bool) -> None:
    """Print how the names of each group of sentences are found, by mention and by list."""
    for near in (False, True):
        per: dict[str, Counter[str]] = {key: Counter() for key in ("all", "list", *dict(KINDS))}
        for group in groups:
            things = things_in([said(one.get("bare") or one["say"]) for one in group])
            for index, one in enumerate(group):
                for key, kind in KINDS:
                    want = {key_of(name) for name in one.get(key) or ()}
                    got = {key_of(t.name) for t in things if t.sentence == index and t.kind == kind}
                    figures = _match(want, got, near)
                    for place in (key, "all"):
                        per[place].update(dict(zip(_SUMS, figures, strict=True)))
                    if verbose and near and figures[0] < max(figures[1:]):
                        tell(one["say"], key, "missed", want - got, "extra", got - want)
            for key, kind in KINDS[:2]:
                want = {key_of(name) for one in group for name in one.get(key) or ()}
                got = {key_of(item.name) for item in gathered(things) if item.kind == kind}
                figures = _match(want, got, near)
                per["list"].update(dict(zip(_SUMS, figures, strict=True)))
                if verbose and near and len(group) > 1:
                    tell("LIST", key, "missed", want - got, "extra", got - want)
        for key, sums in per.items():
            _show(f"{title} {key}{' close' if near else ''}", sums)


def works(one: dict[str, Any]) -> bool:
    """Whether a sentence belongs to the job: chatter and previews are left out before."""
    return not {"chatter", "preview"} & set(one.get("kinds") or ())


def orders(held: bool, verbose: bool) -> None:
    """Print how many orders are worded as a good author would."""
    every = read_list(TALK / "orders.yaml")["orders"]
    chosen = [one for one in every if bool(one.get("held")) == held]
    right = 0
    for one in chosen:
        given = imperatives(one["say"], it=one.get("it"), phase=one.get("phase"))
        first = next(iter(imperatives(one["say"], it=one.get("it"), phase=one.get("phase"))), None)
        want = one.get("want") or [None]
        good = (first.action if first else None) in want
        if good and one.get("then"):
            good = len(given) > 1 and given[1].action in one["then"]
        if good and first and one.get("act"):
            good = first.act == one["act"]
        if good and first and one.get("object"):
            good = first.object == one["object"]
        right += good
        if verbose and not good:
            tell(one["say"], "->", [(g.action, g.act, g.object) for g in given], want[:1])
    tell(f"orders {'held' if held else 'built on'}: {right}/{len(chosen)}")


def main() -> None:
    """Measure the lists of sentences, or narrations named on the command line."""
    verbose, held = "-v" in sys.argv, "--held" in sys.argv
    files = [Path(arg) for arg in sys.argv[1:] if not arg.startswith("-")]
    if files:
        groups = [[one for one in read_list(file)["sentences"] if works(one)] for file in files]
        measure("narrations", groups, verbose)
        return
    every = read_list(TALK / "things.yaml")["sentences"]
    chosen = [[one] for one in every if bool(one.get("held")) == held]
    measure("held" if held else "built on", chosen, verbose)
    orders(held, verbose)
    hour = [said(one[0]["say"]) for one in chosen] * (800 // len(chosen) + 1)
    begun = time.process_time()
    gathered(things_in(hour[:800]))
    middle = time.process_time()
    for sentence in hour[:800]:
        imperatives(sentence.text)
    tell(
        f"800 sentences: things {middle - begun:.3f} s, orders {time.process_time() - middle:.3f} s"
    )


if __name__ == "__main__":
    main()
