"""Compares the grammar of spoken quantities with number libraries, on the same phrases.

Run by hand: ``python tests/benchmarks/bench_number_words.py``. Never part of the tests. The
libraries are no dependency of the program; to compare with them install them first::

    pip install ovos-number-parser quantulum3 text2num number-parser word2number

A phrase counts as right for a library if it gives every number that is to be read out of
it and no other: the values of limits, aims and sizes as a list without order, whatever
their role; units and roles are scored for our grammar alone, in the last rows. A tolerance
may be given as said (40 and 2) or worked out (38 and 42), thousandths as 6 or as 0.006.
A phrase of several sentences is given to a library as one text.
"""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Callable
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from proposals.said import told
from proposals.score_phrases import found, phrases, read, score, texts_of, wanted

Reader = Callable[[str], list[float]]
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:/\d+)?")


def numbers_in(text: str) -> list[float]:
    """Return the numbers that stand in digits in a text."""
    values = []
    for said in _NUMBER.findall(text):
        top, _, bottom = said.partition("/")
        values.append(float(top) / float(bottom) if bottom and float(bottom) else float(top))
    return values


def readers() -> dict[str, Reader]:
    """Return a reader for each library that is installed."""
    found_readers: dict[str, Reader] = {}
    makers: dict[str, Callable[[], Reader]] = {
        "ovos-number-parser": _ovos, "quantulum3": _quantulum, "text2num": _text2num,
        "number-parser": _number_parser, "word2number": _word2number,
    }  # fmt: skip
    for name, make in makers.items():
        try:
            found_readers[name] = make()
        except ImportError:
            sys.stdout.write(f"{name} is not installed\n")
    return found_readers


def _ovos() -> Reader:
    library: Any = import_module("ovos_number_parser")
    return lambda text: numbers_in(library.numbers_to_digits(text, lang="en"))


def _quantulum() -> Reader:
    import_module("quantulum3.classifier").USE_CLF = False  # type: ignore[attr-defined]
    parser: Any = import_module("quantulum3.parser")

    def read_out(text: str) -> list[float]:
        values: list[float] = []
        for one in parser.parse(text):
            part = one.uncertainty
            values.extend([one.value - part, one.value + part] if part else [one.value])
        return values

    return read_out


def _text2num() -> Reader:
    library: Any = import_module("text_to_num")
    return lambda text: numbers_in(library.alpha2digit(text, "en"))


def _number_parser() -> Reader:
    library: Any = import_module("number_parser")
    return lambda text: numbers_in(library.parse(text, language="en"))


def _word2number() -> Reader:
    library: Any = import_module("word2number.w2n")

    def read_out(text: str) -> list[float]:
        try:
            return [float(library.word_to_num(text))]
        except ValueError:
            return []

    return read_out


def accepted(phrase: dict[str, Any]) -> list[list[float]]:
    """Return the lists of numbers that are right for a phrase, each in order of size."""
    plain: list[float] = []
    told_apart: list[float] = []
    for key in wanted(phrase):
        if key[0] == "thread":
            plain.extend(numbers_in(str(key[1])))
            told_apart.extend(numbers_in(str(key[1])))
            continue
        parts = key[1] if key[0] == "size" else key[1:4]
        values = [float(value) for value in parts if value is not None]  # type: ignore[attr-defined]
        plain.extend(values)
        both = len(values) == 3 and key[0] == "limits"
        told_apart.extend([values[1], round(values[2] - values[1], 9)] if both else values)
    thou = "thou " in " ".join(map(str, phrase["want"])) + " "
    lists = [plain, told_apart]
    lists += [[round(value / 1000, 9) for value in one] for one in lists] if thou else []
    return [sorted(one) for one in lists]


def is_right(reader: Reader, phrase: dict[str, Any]) -> bool:
    """Whether a library gives the numbers of a phrase and no others."""
    try:
        have = sorted(round(value, 9) for value in reader(" ".join(texts_of(phrase))))
    except Exception:
        return False
    return have in accepted(phrase)


def ours(text: str) -> list[float]:
    """Return the numbers our grammar reads."""
    from author.proposals.quantities.reading import quantities_in

    values: list[float] = []
    for one in quantities_in(told(text)):
        named = numbers_in(one.designation or "") if one.role == "thread" else one.numbers
        parts = named or (one.lower, one.nominal, one.upper)
        values.extend(float(value) for value in parts if value is not None)
    return values


def main() -> None:
    """Print the table."""
    kinds = {"tuned": phrases(held=False), "kept back": phrases(held=True)}
    told_numbers = {name: [one for one in chosen if one["want"]] for name, chosen in kinds.items()}
    sys.stdout.write(
        f"{sum(map(len, kinds.values()))} phrases; numbers and nothing else right, in per cent\n"
        f"{'reader':<28}{'all':>7}{'tuned':>8}{'kept':>7}{'with a quantity':>17}{'ms each':>9}\n"
    )
    everything = [one for chosen in kinds.values() for one in chosen]
    with_one = [one for chosen in told_numbers.values() for one in chosen]
    for name, reader in {"this grammar": ours, **readers()}.items():
        label = name if reader is ours else f"{name} {version(name)}"
        row = []
        began = time.perf_counter()
        for chosen in (everything, kinds["tuned"], kinds["kept back"], with_one):
            right = sum(is_right(reader, phrase) for phrase in chosen)
            row.append(100 * right / len(chosen))
        each = (time.perf_counter() - began) * 1000 / (2 * len(everything) + len(with_one))
        sys.stdout.write(
            f"{label:<28}{row[0]:>7.1f}{row[1]:>8.1f}{row[2]:>7.1f}{row[3]:>17.1f}{each:>9.2f}\n"
        )
    for name, chosen in kinds.items():
        right, read_out, due = score(chosen)
        whole = sum(found(read(phrase)) == wanted(phrase) for phrase in chosen)
        sys.stdout.write(
            f"this grammar with role, limits and unit, {name}: precision {right / read_out:.3f}, "
            f"recall {right / due:.3f} of {due}; {whole} of {len(chosen)} phrases without fault\n"
        )


if __name__ == "__main__":
    main()
