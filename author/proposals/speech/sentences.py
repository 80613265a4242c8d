"""From captions to sentences with times.

Where the captions have full stops, these part the sentences. Bare captions, as automatic
recognition leaves them, are parted where somebody pauses, where a word stands that usually
begins a sentence, and when it gets long; never inside a number.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from itertools import pairwise

from author.procedure.cues import Cue
from author.proposals.speech.bare_speech import hangs, may_begin, parted
from author.proposals.speech.full_stops import has_full_stops, stops_after
from author.proposals.speech.said_once import Token, words_once
from author.proposals.speech.spoken import Sentence, Word
from author.recording.said import SaidWord, Speech
from author.recording.word_times import speech_of_words

_LONGEST = 60  # words of a sentence with a full stop; what is longer lacks some
_SILENCE = 20_000  # ms that no sentence spans
_LULL = 3_000  # ms after which a capital begins a sentence


def sentences_of(
    said: Speech | Iterable[Cue] | Iterable[SaidWord], recording: str = "film"
) -> tuple[Sentence, ...]:
    """Put captions together to sentences.

    Words that captions repeat are taken once; names of speakers, sounds in brackets and
    notes of music are left out. A word whose time is not told gets its share of the time
    of its caption by its letters.

    Args:
        said: what ``read_speech`` gave, or captions, or words with their times.
        recording: id of the recording it is said on.

    Returns:
        The sentences in the order they are said. No word begins before the one before it.
    """
    speech = said if isinstance(said, Speech) else _speech(list(said))
    tokens = words_once(speech.cues, speech.words)
    _in_order(tokens)
    groups = _groups(tokens)
    pauses = [
        Decimal(max(0, two[0].start - one[-1].end)).scaleb(-3) for one, two in pairwise(groups)
    ]
    before, after = [Decimal(0), *pauses], [*pauses, Decimal(0)]
    return tuple(
        _sentence(recording, group, *around)
        for group, *around in zip(groups, before, after, strict=False)
    )


def _speech(said: Sequence[Cue | SaidWord]) -> Speech:
    words = [each for each in said if isinstance(each, SaidWord)]
    return speech_of_words(words) if words else Speech(_cues(said))


def _cues(said: Sequence[Cue | SaidWord]) -> tuple[Cue, ...]:
    cues = (each for each in said if isinstance(each, Cue))
    return tuple(sorted(cues, key=lambda cue: cue.start))


def _in_order(tokens: Sequence[Token]) -> None:
    """Let no word begin before the one before it, nor last into the next."""
    last = 0
    for token in tokens:
        token.start = last = max(token.start, last)
        token.end = max(token.end, token.start)
    for one, two in pairwise(tokens):
        one.end = min(one.end, two.start)


def _groups(tokens: list[Token]) -> list[list[Token]]:
    if not has_full_stops(tokens):
        return [part for turn in _turns(tokens) for part in parted(turn)]
    found: list[list[Token]] = []
    begun = 0
    small = frozenset(token.key for token in tokens if token.text[0].islower())
    for number, token in enumerate(tokens):
        following = tokens[number + 1] if number + 1 < len(tokens) else None
        if (
            following is None
            or _ends(tokens, begun, number, token, following)
            or _begins_caption(token, following, small)
        ):
            group = tokens[begun : number + 1]
            found += [group] if len(group) <= _LONGEST else parted(group)
            begun = number + 1
    return found


def _begins_caption(token: Token, following: Token, small: frozenset[str]) -> bool:
    """Whether a caption without a full stop ends a sentence: the next begins with a capital.

    Args:
        token: the last word of a caption, or another.
        following: the word behind it.
        small: words that stand with a small letter somewhere: no names.
    """
    if following.cue == token.cue or not following.text[0].isupper() or hangs(token.key):
        return False
    plain = following.key.split("'")[0] != "i" and token.text[-1].isalnum()
    return plain and (following.key in small or may_begin(following.key))


def _ends(tokens: Sequence[Token], begun: int, number: int, token: Token, following: Token) -> bool:
    if following.turn or stops_after(tokens, begun, number):
        return True
    silence = following.start - token.end
    return silence >= _SILENCE or (
        silence >= _LULL and following.text[0].isupper() and following.key.split("'")[0] != "i"
    )


def _turns(tokens: Sequence[Token]) -> list[list[Token]]:
    found: list[list[Token]] = []
    for token in tokens:
        if token.turn or not found:
            found.append([])
        found[-1].append(token)
    return found


def _sentence(recording: str, group: Sequence[Token], before: Decimal, after: Decimal) -> Sentence:
    words = []
    at, last, end = 0, -1, Decimal(0)
    for token in group:
        start = end if token.start == last else Decimal(token.start).scaleb(-3)
        end, last = Decimal(token.end).scaleb(-3), token.end
        words.append(Word(token.text, at, start, end))
        at += len(token.text) + 1
    return Sentence(recording, " ".join(token.text for token in group), tuple(words), before, after)
