"""Words for numbers: the one list of them, which all that reads numbers in words builds on.

What else may stand for a number ("oh", "dozen", "couple", parts of one) is for each reader to say:
a count of pieces, a reading told digit by digit and the size of a tool differ in it.
"""

from __future__ import annotations

ONES = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9,
}  # fmt: skip
TEENS = {
    "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15,
    "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90, "fourty": 40,
}  # fmt: skip
"""``fourty`` is how captions often have it."""
WHOLE = {**ONES, **TEENS, **TENS}
"""All of them: one word each, from one to ninety."""
AS_SAID = {
    "wan": "one", "wun": "one", "ane": "one", "twa": "two", "fower": "four",
    "foor": "four", "seeven": "seven", "sivin": "seven", "eicht": "eight", "echt": "eight",
    "twal": "twelve", "twinty": "twenty", "twenny": "twenty", "tirty": "thirty",
    "thurty": "thirty", "hunner": "hundred", "hunnert": "hundred", "hunnerd": "hundred",
    "hunder": "hundred", "hunderd": "hundred", "hundert": "hundred", "thoosan": "thousand",
    "thoosand": "thousand", "thousan": "thousand", "tousand": "thousand",
    **{f"{word[:-2]}'y": word for word in TENS},
    **{f"{word[:-4]}'een": word for word in TEENS if word.endswith("teen")},
}  # fmt: skip
"""Numbers as they are said in dialect and spelt by people: "three hunner", "thir'y", "wan".

As captioners write them (from memory, no source). Only what is no other word: "tree" for three
is left out, and "yin", a one that stands for a thing.
"""
