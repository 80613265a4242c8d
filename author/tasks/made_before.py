"""What an earlier run of publishing made, by what it was made from: nothing is made twice."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from importlib import metadata
from pathlib import Path

from author.resources import program_digest
from author.storage import Generation

# Libraries whose version shows in the bytes of what is made.
_MAKERS = ("av", "Jinja2", "opencv-python-headless", "pikepdf", "typst")


def key_of(*parts: object) -> str:
    """Return the SHA-256 of what an output is made from, with the program that makes it.

    Args:
        parts: values that JSON knows, and others whose ``str`` says all of them.
    """
    makers = [program_digest(), *(metadata.version(name) for name in _MAKERS)]
    text = json.dumps([makers, parts], default=str, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


class MadeBefore:
    """The outputs of the last run that can be taken again, and the keys of this one.

    Attributes:
        keys: what each output of this run is made from, by its name.
        fresh: names of the outputs that had to be made in this run.
    """

    def __init__(self, generation: Generation) -> None:
        noted = (generation.old or {}).get("made_from")
        earlier: Mapping[str, object] = noted if isinstance(noted, dict) else {}
        self._generation = generation
        self._earlier: dict[str, list[str]] = {}
        for name, key in earlier.items():
            self._earlier.setdefault(str(key), []).append(name)
        self.before = {name: str(key) for name, key in earlier.items()}
        self.keys: dict[str, str] = {}
        self.fresh: set[str] = set()

    def fetch(self, key: str, place: Path) -> bool:
        """Put a file made from the same into a place of this generation, if there is one."""
        # Never written into: what lies there may be one file with an output of the last run.
        place.unlink(missing_ok=True)
        return any(self._generation.reuse(name, place) for name in self._earlier.get(key, ()))

    def put(self, source: Path, name: str, key: str, *, fresh: bool) -> None:
        """Make an output of a file that lies in this generation already."""
        self._generation.share(source, name)
        self._note(name, key, fresh)

    def write(self, name: str, key: str, made: Callable[[], bytes]) -> None:
        """Have one output: the one made before, or what ``made`` returns."""
        self.write_all([name], key, lambda: {name: made()})

    def write_all(
        self, names: Sequence[str], key: str, made: Callable[[], Mapping[str, bytes]]
    ) -> None:
        """Have outputs that are made together, if any of them is missing.

        Args:
            names: of all outputs.
            key: what they are made from.
            made: returns the content of each by its name.
        """
        keys = {name: key_of(key, name) for name in names}
        place = self._generation.path
        if all(self.fetch(keys[name], place(name)) for name in names):
            for name in names:
                self._note(name, keys[name], fresh=False)
            return
        content = made()
        for name in names:
            place(name).unlink(missing_ok=True)
            self._generation.write(name, content[name])
            self._note(name, keys[name], fresh=True)

    def _note(self, name: str, key: str, fresh: bool) -> None:
        self.keys[name] = key
        if fresh:
            self.fresh.add(name)
