"""The words of captions, each once and with its time.

Captions repeat themselves: each shows the line before again, or grows word by word, or
stands in the file twice. What is no speech (sounds in brackets, names of speakers, notes
of music) is left out. Words whose time nobody tells are spread over their caption by their
letters.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from author.procedure.cues import Cue
from author.recording.said import SaidWord

_SHOWN_AGAIN = 200  # words that a caption repeats of those before at most
_ROLLS = 0.3  # share of captions that repeat the one before where a file rolls
_SURE = 3  # words that are no chance when they come again in a file that rolls
_WORD = (150, 150)  # ms that a word takes at most: in all, and for each letter

_SOUND_WORDS = (
    "music|applause|laugh(?:s|ter)?|chuckles?|sighs?|coughs?|sniffs?|groans?|grunts?|gasps?|"
    "whistles?|noises?|clanks?|clangs?|clinks?|bangs?|thuds?|beeps?|buzz(?:es)?|creaks?|squeaks?|"
    "rattles?|crash(?:es)?|slams?|silence|inaudible|unintelligible|indistinct|crosstalk|speaks?|"
    "chatter|hammering|banging|tapping|clanking|clicking|clinking|clattering|rattling|grinding|"
    "drilling|whirring|humming|buzzing|beeping|ringing|squeaking|creaking|hissing|scraping|sawing|"
    "knocking|laughing|chuckling|coughing|sighing|sniffing|grunting|groaning|whistling|singing|"
    "speaking|talking|clapping|barking|revving|idling"
)
_SOUND = re.compile(
    # In square brackets, whatever it is, unless a number stands there.
    r"\[[^\[\]0-9]{0,80}\]"
    # In round ones, if a sound is named.
    rf"|\((?:[a-z'’-]{{1,15}}\s){{0,2}}(?:{_SOUND_WORDS})(?:\s[a-z'’-]{{1,15}}){{0,2}}\)"
    r"|[♪♫][^♪♫]{0,200}[♪♫]|[♪♫♬]"
    r"|(?<!\S)\*[a-z][a-z ]{1,30}\*(?!\S)",
    re.IGNORECASE,
)
_MAY_BE_SOUND = re.compile(r"[\[(♪♫♬*]")
# A dash or angles before another speaker's words, and a name in capitals before a colon.
# What warns also stands so, and is said.
_SPEAKER = re.compile(
    r"^[ \t]*(?:>{2,3}[ \t]*|[-–—][ \t]+(?=[^\s0-9])|[-–—](?=[A-Za-z]))?"
    r"(?:(?!(?:NOTE|WARNING|CAUTION|DANGER|NOTICE|IMPORTANT|STEP|TIP|REMEMBER|STOP|TORQUE)\b)"
    r"[A-Z][A-Z.'’-]{1,19}(?: [A-Z][A-Z.'’-]{0,19}| [0-9]{1,2}){0,2}:(?=[ \t\n]|$)"
    r"|(?:Speaker|Narrator|Host|Interviewer|Technician|Mechanic|Man|Woman)"
    r"(?: [0-9A-Z]{1,2})?:(?=[ \t\n]|$))?",
    re.MULTILINE,
)
_TOKEN = re.compile(r"\S+")
_LETTERS = re.compile(r"[^\W_]")
_ALONE = frozenset("&+±×=%°<>≤≥~")  # signs that are said
_TOUCHING = "\"'“”‘’.,;:!?…()[]-–—"


@dataclass(slots=True)
class Token:
    """A word on its way into a sentence; times in whole milliseconds."""

    text: str
    key: str  # the same for one word however it is written
    cue: int
    opens: bool  # the first of a line of its caption
    turn: bool  # the first of another speaker
    start: int = -1  # -1: not known
    end: int = -1


@dataclass(slots=True)
class _Shown:
    """A caption with its words."""

    start: int
    end: int
    tokens: list[Token]
    keys: list[str]

    @property
    def timed(self) -> bool:
        """Whether the file tells when the first word is said: then it is said anew."""
        return self.tokens[0].start >= 0


def key_of(word: str) -> str:
    """Return a word in small letters, without the signs around it; signs alone stay."""
    return word.lower() if word.isalnum() else word.strip(_TOUCHING).lower() or word


def words_once(
    cues: Sequence[Cue], words: Sequence[Sequence[SaidWord]] | None = None
) -> list[Token]:
    """Return the words that are said, in their order, each with its times.

    Args:
        cues: captions by their start.
        words: the words of each, where the time of any is known.
    """
    shown = []
    for number, cue in enumerate(cues):
        tokens = _tokens(cue, number, None if words is None else words[number])
        if tokens:
            keys = [token.key for token in tokens]
            shown.append(_Shown(_ms(cue.start), _ms(cue.end), tokens, keys))
    kept = _put_together(shown)
    _give_times(shown, kept)
    return [token for tokens in kept for token in tokens]


def _ms(seconds: Decimal) -> int:
    return int(seconds * 1000)


def _tokens(cue: Cue, number: int, words: Sequence[SaidWord] | None) -> list[Token]:
    text = cue.text
    if _MAY_BE_SOUND.search(text):
        text = _SOUND.sub(_blank, text)
    turns: set[int] = set()
    if any(sign in text for sign in ">:-–—"):
        text = text.replace(" >>", "\n>>")
        turns = {found.start() for found in _SPEAKER.finditer(text) if found.group().strip()}
        text = _SPEAKER.sub(_blank, text)
    begins = _begins(cue.text) if words is not None else []
    made: list[Token] = []
    turn = False
    for line_at, line in _lines(text):
        opens = True
        turn |= line_at in turns
        at = 0
        for said in line.split():
            if not (_LETTERS.search(said) or said in _ALONE or _after_number(made)):
                continue
            token = Token(said, key_of(said), number, opens, turn)
            if words is not None:
                at = line.index(said, at)
                _take_time(token, words, begins, line_at + at)
                at += len(said)
            made.append(token)
            opens = turn = False
    return made


def _after_number(made: Sequence[Token]) -> bool:
    """Tell whether a sign follows a number, as in ``1.2 - 1.6``."""
    return bool(made) and made[-1].text[-1].isdecimal()


def _begins(text: str) -> list[int]:
    return [found.start() for found in _TOKEN.finditer(text)]


def _take_time(token: Token, words: Sequence[SaidWord], begins: list[int], at: int) -> None:
    which = bisect_right(begins, at) - 1
    if 0 <= which < len(words):
        word = words[which]
        token.start = -1 if word.start is None else _ms(word.start)
        token.end = -1 if word.end is None else _ms(word.end)


def _blank(found: re.Match[str]) -> str:
    return "".join("\n" if letter == "\n" else " " for letter in found.group())


def _lines(text: str) -> list[tuple[int, str]]:
    if "\n" not in text:
        return [(0, text)]
    found, at = [], 0
    for line in text.split("\n"):
        found.append((at, line))
        at += len(line) + 1
    return found


def _put_together(shown: Sequence[_Shown]) -> list[list[Token]]:
    """Return what each caption says that those before did not."""
    rolls = _rolls(shown)
    kept: list[list[Token]] = []
    tail: list[str] = []  # keys of the last words
    opens: list[bool] = []
    before: _Shown | None = None
    for each in shown:
        again = 0
        if before is not None and (_together(before, each) or (rolls and not each.timed)):
            if _inside(each, before):
                kept.append([])
                before.end = max(before.end, each.end)
                continue
            again = _again(tail, opens, each, sure=_SURE if rolls else 2 * _SURE)
            if not again and rolls:
                again = _rewritten(before, each, kept, tail, opens)
        fresh = each.tokens[again:]
        kept.append(fresh)
        tail += each.keys[again:]
        opens += [token.opens or number == 0 for number, token in enumerate(fresh)]
        del tail[:-_SHOWN_AGAIN], opens[:-_SHOWN_AGAIN]
        before = each
    return kept


def _together(one: _Shown, two: _Shown) -> bool:
    """Tell whether two captions are shown together for much of their time."""
    shorter = min(one.end - one.start, two.end - two.start)
    return min(one.end, two.end) - two.start >= 0.4 * shorter


def _rolls(shown: Sequence[_Shown]) -> bool:
    """Tell whether the captions of a file repeat one another as a rule."""
    if len(shown) < 2:
        return False
    count = 0.0
    for one, two in pairwise(shown):
        if two.timed:
            continue
        opens = [token.opens for token in one.tokens[-_SHOWN_AGAIN:]]
        same = _again(one.keys[-_SHOWN_AGAIN:], opens, two, sure=2 * _SURE)
        # One word again may be chance: "Again. Again."
        count += min(same, 3) / 3 if same else _inside(two, one)
    return count >= max(1, _ROLLS * (len(shown) - 1))


def _inside(each: _Shown, before: _Shown) -> bool:
    """Tell whether a caption says only what the one before did, while that is shown."""
    if each.start > before.end or len(each.keys) > len(before.keys):
        return False
    count = len(each.keys)
    if before.keys == each.keys:
        return each.start < before.end or count >= _SURE
    return before.keys[-count:] == each.keys or before.keys[:count] == each.keys


def _again(tail: list[str], opens: list[bool], each: _Shown, sure: int) -> int:
    """Return how many words at the begin of a caption were the last ones said.

    They must be whole lines, or so many that it is no chance.
    """
    first = each.keys[0]
    if first not in tail:
        return 0
    size = len(tail)
    for at in range(max(0, size - len(each.keys)), size):
        if tail[at] != first or each.keys[: size - at] != tail[at:]:
            continue
        count = size - at
        if count >= sure or opens[at]:
            return count
    return 0


def _rewritten(
    before: _Shown, each: _Shown, kept: list[list[Token]], tail: list[str], opens: list[bool]
) -> int:
    """Take back the last words where a growing caption has put others in their place.

    Returns:
        How many words at the begin of the caption stand already.
    """
    if each.start > before.end:
        return 0
    same = 0
    for one, two in zip(before.keys, each.keys, strict=False):
        if one != two:
            break
        same += 1
    back = len(before.keys) - same
    if same < 2 or same < 0.6 * len(before.keys) or back > len(kept[-1]):
        return 0
    if back:
        del kept[-1][-back:], tail[-back:], opens[-back:]
    return same


def _give_times(shown: Sequence[_Shown], kept: Sequence[list[Token]]) -> None:
    """Give each word its times: as the file has them, else spread over the caption."""
    said = [(each, tokens) for each, tokens in zip(shown, kept, strict=True) if tokens]
    last = number = 0
    while number < len(said):
        first, tokens = said[number]
        end = first.end
        number += 1
        while number < len(said) and said[number][0].start <= first.start:
            tokens = [*tokens, *said[number][1]]  # at one time, such as two speakers
            end = max(end, said[number][0].end)
            number += 1
        start = max(first.start, last)
        if number < len(said):
            end = min(end, said[number][0].start)
        _spread(tokens, start, max(start, end))
        last = tokens[-1].start


def _spread(tokens: Sequence[Token], start: int, end: int) -> None:
    """Spread words over a span, those with times of their own held fast."""
    known = [number for number, token in enumerate(tokens) if token.start >= 0]
    last = start if not known else min(start, tokens[known[0]].start)
    for number in known:
        tokens[number].start = last = max(tokens[number].start, last)
    if not known or known[0]:
        tokens[0].start = start if not known else min(start, tokens[known[0]].start)
        known.insert(0, 0)
    for one, two in zip(known, [*known[1:], len(tokens)], strict=True):
        begin = tokens[one].start
        finish = max(begin, tokens[two].start if two < len(tokens) else end)
        _fill(tokens[one:two], begin, finish)


def _fill(run: Sequence[Token], begin: int, finish: int) -> None:
    """Spread words of which only the first may have a begin, and any an end, over a span."""
    if run[-1].end >= begin:
        finish = run[-1].end if len(run) == 1 else min(finish, run[-1].end)
    if run[0].end >= begin and len(run) > 1:
        run[0].end = begin = min(run[0].end, finish)
        run = run[1:]
    letters = [len(token.text) + 1 for token in run]
    total, done = sum(letters), 0
    finish = min(finish, begin + _WORD[0] * len(run) + _WORD[1] * total)
    for token, size in zip(run, letters, strict=True):
        token.start = begin + (finish - begin) * done // total
        done += size
        token.end = begin + (finish - begin) * done // total
