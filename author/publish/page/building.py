"""The work page as files: one document, one style sheet, one script."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any, get_args, get_origin

from author.checks.verdict import Publishable
from author.procedure.job_record import JobRecord
from author.publish.page import colours
from author.publish.page.callouts import plate_rules
from author.publish.page.media import PageClip, PagePicture
from author.publish.page.page_content import media_facts, page_content
from author.publish.signatures import Signature
from author.publish.unbroken import with_whole_values

if TYPE_CHECKING:
    from jinja2 import Environment

# What decides and remembers first, then what is seen; each uses only what stands before it.
SCRIPTS = (
    "sentences",
    "numbers",
    "judging",
    "entries",
    "people",
    "readings",
    "seen",
    "going",
    "record",
    "keeping",
    "elements",
    "clips",
    "screens",
    "measuring",
    "points",
    "onward",
    "closing",
    "printing",
    "sending",
    "main",
)
_PACKAGE = "author.publish.page"


def work_page(
    judged: Publishable,
    pictures: Mapping[str, PagePicture],
    clips: Mapping[str, PageClip],
    *,
    content: str,
    signatures: Sequence[Signature] = (),
) -> dict[str, bytes]:
    """Return the files of the work page but for pictures and clips, the same for the same input.

    Args:
        judged: the checked procedure, or a draft, whose screens are all marked so.
        pictures: stills by step id, their callouts not drawn.
        clips: clips by step id.
        content: SHA-256 of the published procedure file, in hexadecimal.
        signatures: who signed it, shown on the first screen.

    Returns:
        ``index.html``, ``page.css`` and ``page.js`` by name.
    """
    procedure = judged.procedure
    data, facts = page_content(judged, pictures, clips, content, signatures)
    media = media_facts(procedure, clips)
    page = _templates().get_template("index.html.jinja")
    document = page.render(
        data,
        language_tag=procedure.language,
        facts_json=_embedded(facts),
        media_json=_embedded(media),
        sentences_json=_embedded([sentences(), record_keys()]),
    )
    return {
        "index.html": with_whole_values(document).encode(),
        "page.css": "\n".join((colours.as_css(), _text("page.css"), _plates(data))).encode(),
        "page.js": page_script().encode(),
    }


def _plates(data: Mapping[str, Any]) -> str:
    steps = (step for section in data["sections"] for step in section["steps"])
    return plate_rules([step["drawing"] for step in steps if step["drawing"]])


def sentences() -> dict[str, str]:
    """Return what the scripts say in whole sentences, by name; ``{0}`` is a gap to be filled.

    They are sent in the document, so that the script stays small.
    """
    found: dict[str, str] = json.loads(_text("sentences.json"))
    return found


def record_keys() -> dict[str, str]:
    """Return the keys of the entries of each list of a job record; one with ``!`` has to be."""
    found: dict[str, str] = {}
    for name, field in JobRecord.model_fields.items():
        node = next(iter(get_args(field.annotation)), None)
        if get_origin(field.annotation) is tuple and node is not None:
            keys = node.model_fields.items()
            found[name] = " ".join(f"{key}{'!' * one.is_required()}" for key, one in keys)
    return found


def joined_script() -> str:
    """Return all scripts as one classic script that leaves no name behind."""
    texts = (_text(f"scripts/{name}.js") for name in SCRIPTS)
    return "\n".join(("(() => {", '"use strict";', *texts, "})();", ""))


def stamp() -> str:
    """Return the first line of the small script: what it was made from."""
    return f"// {hashlib.sha256(joined_script().encode()).hexdigest()}\n"


def page_script() -> str:
    """Return the script of the page, in which names and spaces are made short.

    It is made by ``bash tests/page_script.sh`` and kept, so that no program for it is needed
    here and its bytes are the same everywhere. While the scripts are being changed and it has
    not been made anew, they are sent as they are.
    """
    small = _text("page.min.js")
    return small if small.startswith(stamp()) else joined_script()


def _text(name: str) -> str:
    return resources.files(_PACKAGE).joinpath(name).read_text(encoding="utf-8")


@cache
def _templates() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    made = Environment(
        loader=PackageLoader(_PACKAGE, "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["lower_first"] = _lower_first
    return made


def _lower_first(text: str) -> str:
    """Return a name as it stands inside a sentence; one that begins with a code stays."""
    return text if text[1:2].isupper() or text[1:2].isdigit() else text[:1].lower() + text[1:]


def _embedded(data: Mapping[str, Any] | Sequence[Any]) -> Any:
    """Return data as JSON that ends no script element and holds no markup."""
    from markupsafe import Markup

    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return Markup(text)  # noqa: S704 - no character of markup is left in it
