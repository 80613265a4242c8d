"""The scripts of the work page in node, without a browser: calls go in, answers come out.

``with NodePage() as page: page.call("readNumber", "9,85")``. An answer can be held in the page
under a name and given to later calls as ``REF("name")`` or ``REF("name.key")``, so that a job is
one object there throughout.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import tempfile
from importlib import resources
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from author.publish.page import building
from author.publish.page.building import record_keys, sentences

SCRIPTS = building.SCRIPTS[: building.SCRIPTS.index("keeping") + 1]
"""Those that need no document, in the order in which they are joined."""
_DRIVER = Path(__file__).with_name("node_page.js")
_NAME = re.compile(r"^(?:async )?(?:function|const|let|class) ([A-Za-z_]\w*)", re.MULTILINE)


def script_text(name: str) -> str:
    """Return one script of the page."""
    folder = resources.files("author.publish.page") / "scripts"
    return (folder / f"{name}.js").read_text(encoding="utf-8")


def _document() -> str:
    """Return the one thing of the document that these scripts look at: its sentences."""
    text = json.dumps(json.dumps([sentences(), record_keys()]))
    return f"const document = {{ getElementById: () => ({{ textContent: {text} }}) }};"


def names_in(text: str) -> list[str]:
    """Return the names a script has at its top level."""
    return _NAME.findall(text)


def REF(path: str) -> dict[str, str]:  # noqa: N802 - it stands out among plain values
    """Return a value that an earlier answer left in the page."""
    return {"ref": path}


class ScriptFault(Exception):
    """A script threw what it should not have."""


class NodePage:
    """Pages in one node process, which share a storage as the tabs of a browser do.

    Args:
        zone: time zone of the device.
        scripts: names of the scripts that are joined.
    """

    def __init__(self, zone: str = "Europe/Vienna", scripts: tuple[str, ...] = SCRIPTS) -> None:
        joined = "\n".join(script_text(name) for name in scripts)
        with tempfile.NamedTemporaryFile("w", suffix=".js", delete=False, encoding="utf-8") as file:
            file.write(f"{_document()}\n{joined}")
        self._file = Path(file.name)
        self._node = subprocess.Popen(
            ["node", str(_DRIVER), file.name, *names_in(joined)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "TZ": zone},
            encoding="utf-8",
        )

    def ask(self, **request: Any) -> Any:
        """Send one request of ``node_page.js`` and return the value of its answer."""
        assert self._node.stdin
        assert self._node.stdout
        self._node.stdin.write(json.dumps(request) + "\n")
        self._node.stdin.flush()
        answer = json.loads(self._node.stdout.readline())
        if "error" in answer:
            raise ScriptFault(answer["error"])
        return answer.get("value")

    def call(self, name: str, *args: Any, page: str = "main", hold: str | None = None) -> Any:
        """Call a function of a page.

        Args:
            name: its name.
            args: what it is given.
            page: the page, opened if it is not yet.
            hold: name to hold the answer under.
        """
        return self.ask(page=page, call=name, args=list(args), **({"as": hold} if hold else {}))

    def close(self) -> None:
        """End the process."""
        assert self._node.stdin
        assert self._node.stdout
        self._node.stdin.close()
        self._node.wait(timeout=60)
        self._node.stdout.close()
        self._file.unlink()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
