"""What the window calls the fields of the document: the one table, for remarks and places.

The rules name fields as the file has them; in the window a person knows them by the words
that stand beside them.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from PyQt6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

FIELD_WORDS = {
    "above": QT_TRANSLATE_NOOP("Fields", "what to do above the limit"),
    "action": QT_TRANSLATE_NOOP("Fields", "action"),
    "alt": QT_TRANSLATE_NOOP("Fields", "words for who cannot see the picture"),
    "at": QT_TRANSLATE_NOOP("Fields", "moment of the still"),
    "at_most": QT_TRANSLATE_NOOP("Fields", "how often at most"),
    "avoid": QT_TRANSLATE_NOOP("Fields", "how to avoid it"),
    "before": QT_TRANSLATE_NOOP("Fields", "before which step"),
    "below": QT_TRANSLATE_NOOP("Fields", "what to do below the limit"),
    "chains": QT_TRANSLATE_NOOP("Fields", "dimension chains"),
    "changes": QT_TRANSLATE_NOOP("Fields", "changes"),
    "characteristic": QT_TRANSLATE_NOOP("Fields", "what is measured"),
    "close_outs": QT_TRANSLATE_NOOP("Fields", "after the job"),
    "concessions": QT_TRANSLATE_NOOP("Fields", "concessions"),
    "consequence": QT_TRANSLATE_NOOP("Fields", "what happens otherwise"),
    "contains": QT_TRANSLATE_NOOP("Fields", "what it contains"),
    "discharges": QT_TRANSLATE_NOOP("Fields", "part left off"),
    "extension": QT_TRANSLATE_NOOP("Fields", "extension of the wrench"),
    "findings": QT_TRANSLATE_NOOP("Fields", "findings"),
    "follow_on": QT_TRANSLATE_NOOP("Fields", "what has to happen"),
    "from": QT_TRANSLATE_NOOP("Fields", "begin of the step"),
    "general_hazards": QT_TRANSLATE_NOOP("Fields", "hazards of the whole job"),
    "grade_reason": QT_TRANSLATE_NOOP("Fields", "why the clip is graded so"),
    "hands_over": QT_TRANSLATE_NOOP("Fields", "part handed over"),
    "hazard": QT_TRANSLATE_NOOP("Fields", "hazard"),
    "instrument": QT_TRANSLATE_NOOP("Fields", "measured with"),
    "limits_of_use": QT_TRANSLATE_NOOP("Fields", "limits of use"),
    "name": QT_TRANSLATE_NOOP("Fields", "name"),
    "not_filmed": QT_TRANSLATE_NOOP("Fields", "why it was not filmed"),
    "note": QT_TRANSLATE_NOOP("Fields", "note"),
    "nut_factor": QT_TRANSLATE_NOOP("Fields", "friction (nut factor)"),
    "order": QT_TRANSLATE_NOOP("Fields", "order"),
    "order_if": QT_TRANSLATE_NOOP("Fields", "order if"),
    "parts": QT_TRANSLATE_NOOP("Fields", "parts"),
    "people": QT_TRANSLATE_NOOP("Fields", "people"),
    "places": QT_TRANSLATE_NOOP("Fields", "places"),
    "prerequisites": QT_TRANSLATE_NOOP("Fields", "before the job"),
    "procedure": QT_TRANSLATE_NOOP("Fields", "procedure"),
    "purpose": QT_TRANSLATE_NOOP("Fields", "purpose"),
    "question": QT_TRANSLATE_NOOP("Fields", "question"),
    "reason": QT_TRANSLATE_NOOP("Fields", "why it may stand"),
    "recordings": QT_TRANSLATE_NOOP("Fields", "recordings"),
    "released_by": QT_TRANSLATE_NOOP("Fields", "released by"),
    "replace": QT_TRANSLATE_NOOP("Fields", "new one"),
    "review": QT_TRANSLATE_NOOP("Fields", "written by"),
    "revision": QT_TRANSLATE_NOOP("Fields", "revision"),
    "rule": QT_TRANSLATE_NOOP("Fields", "rule"),
    "size": QT_TRANSLATE_NOOP("Fields", "size of the callout"),
    "source": QT_TRANSLATE_NOOP("Fields", "where it is from"),
    "sources": QT_TRANSLATE_NOOP("Fields", "sources"),
    "stacks": QT_TRANSLATE_NOOP("Fields", "stacks"),
    "supplies": QT_TRANSLATE_NOOP("Fields", "supplies"),
    "tagged_by": QT_TRANSLATE_NOOP("Fields", "tagged by"),
    "tail": QT_TRANSLATE_NOOP("Fields", "where its words stand"),
    "text": QT_TRANSLATE_NOOP("Fields", "words of the callout"),
    "title": QT_TRANSLATE_NOOP("Fields", "title"),
    "to": QT_TRANSLATE_NOOP("Fields", "end of the step"),
    "tools": QT_TRANSLATE_NOOP("Fields", "tools"),
    "uncertainty": QT_TRANSLATE_NOOP("Fields", "uncertainty (k = 2)"),
    "undecided": QT_TRANSLATE_NOOP("Fields", "what to do while it is undecided"),
    "unit": QT_TRANSLATE_NOOP("Fields", "machine"),
    "what": QT_TRANSLATE_NOOP("Fields", "what is meant"),
    "when": QT_TRANSLATE_NOOP("Fields", "when"),
}
VALUE_WORDS = {
    "in_review": QT_TRANSLATE_NOOP("Fields", "in review"),
    "never": QT_TRANSLATE_NOOP("Fields", "never"),
    "none": QT_TRANSLATE_NOOP("Fields", "nothing"),
    "reference": QT_TRANSLATE_NOOP("Fields", "for information only"),
    "simple_acceptance": QT_TRANSLATE_NOOP("Fields", "simple acceptance"),
    "supplied": QT_TRANSLATE_NOOP("Fields", "supplied"),
    "true": QT_TRANSLATE_NOOP("Fields", "yes"),
    "complete": QT_TRANSLATE_NOOP("Fields", "with its contents"),
    "bare": QT_TRANSLATE_NOOP("Fields", "bare"),
}
_QUOTED = re.compile(r"'([a-z_]+)(?:: ([a-z_]+))?'")


def field_words(key: str) -> str:
    """Return what the window calls a field; its name with spaces where it has no words."""
    words = FIELD_WORDS.get(key) or VALUE_WORDS.get(key)
    return key.replace("_", " ") if words is None else QCoreApplication.translate("Fields", words)


def in_window_words(text: str, ids: Collection[str] = ()) -> str:
    """Return what a rule says with the window's words in place of the names of fields.

    Args:
        text: a problem or a remedy; names stand in single quotes.
        ids: ids of the document: a name that is one of them is left as it is.
    """

    def said(found: re.Match[str]) -> str:
        name, value = found[1], found[2]
        if name in ids or name not in FIELD_WORDS | VALUE_WORDS:
            return found[0]
        words = field_words(name)
        return f"“{words}: {field_words(value)}”" if value else f"“{words}”"

    return _QUOTED.sub(said, text)
