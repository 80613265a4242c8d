"""Makes pages of templates."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse

from author.errors import InputError
from author.library.shop import Role
from author.publish.page import colours
from author.serve.remembering import Remembered, bytes_of
from author.serve.rights import Person, Rule

_PACKAGE = "author.serve"
_FRAME, _PART, _KEPT = "base.html.jinja", "part.html.jinja", "kept.html.jinja"
# No text of a file can be taken for these: in a page its signs are escaped.
_BETWEEN = "<!--|-->"
_MAIN = Markup("<!--main-->")
BODY = Markup("<!--body-->")
"""Stands in the content of a page for what is kept by itself."""
STYLE = "shop.css"
BENCH_SCRIPT = "bench.js"


class NotHereError(InputError):
    """What was asked for is not in the library; answered with status 404."""


@dataclass(frozen=True, slots=True)
class NavEntry:
    """A line of the menu.

    Attributes:
        path: where it leads.
        label: what it is called.
        roles: who sees it, as in ``open_to``.
    """

    path: str
    label: str
    roles: tuple[Role, ...] = ("reader",)


def page(request: Request, template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """Return a page.

    Args:
        request: the request it answers.
        template: name of the template, which extends ``base.html.jinja``.
        status: status of the answer.
        values: what the template shows.
    """
    person: Person | None = getattr(request.state, "person", None)
    nav: list[NavEntry] = request.app.state.nav
    text = templates().get_template(template).render(
        values,
        frame=_FRAME,
        shop_name=request.app.state.shop_name,
        person=person,
        no_accounts=getattr(request.state, "no_accounts", False),
        here=request.url.path,
        nav=[entry for entry in nav if Rule(entry.roles).allows(person)],
        may=_may(person),
        token=lambda: request.state.token,
    )  # fmt: skip
    return HTMLResponse(text, status, {"Cache-Control": "no-store"})


def kept_page(
    request: Request,
    template: str,
    key: Hashable,
    values: Callable[[], Mapping[str, Any]],
    body: str = "",
) -> HTMLResponse:
    """Return a page whose content is made once for each key, whoever asks for it.

    Such content is made without knowing who asks, so that nobody can be shown what was made
    for somebody else: who it is stands in the frame around it, which is made each time.

    Args:
        request: the request it answers.
        template: name of the template, which extends ``frame``.
        key: by what the content is known: all that it is made of.
        values: gives what the template shows, if it has to be made.
        body: what stands at ``BODY`` in the content.
    """
    kept: Remembered = request.app.state.kept
    found: tuple[str, str] | None = kept.get((template, key))
    if found is None:
        text = templates().get_template(template).render({**values(), "frame": _PART})
        title, _, main = text.partition(_BETWEEN)
        found = title, main
        kept.put((template, key), found, bytes_of(found) + bytes_of(key))
    title, main = found
    answer = page(request, _KEPT, kept_title=Markup(title), kept_main=_MAIN)  # noqa: S704
    whole = main.replace(BODY, body, 1) if body else main
    answer.body = bytes(answer.body).replace(_MAIN.encode(), whole.encode(), 1)
    answer.headers["content-length"] = str(len(answer.body))
    return answer


def _may(person: Person | None) -> Callable[..., bool]:
    """Return the function by which a template asks whether somebody has any of some roles."""
    return lambda *roles: Rule(roles).allows(person)


@cache
def templates() -> Environment:
    """Return the templates of all pages."""
    made = Environment(
        loader=PackageLoader(_PACKAGE, "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,  # else each page looks whether a template's file has changed
    )
    made.filters["words"] = lambda text: str(text).replace("_", " ")
    made.filters["sentence"] = _sentence
    made.globals["style"] = lambda: f"/static/{style()[1]}/{STYLE}"
    return made


def read_templates() -> None:
    """Read the templates of all pages, which else happens while the first readers wait."""
    for name in templates().list_templates():
        templates().get_template(name)


def _sentence(text: str) -> Markup:
    """Return a text with a full stop, unless it ends a sentence already."""
    return escape(text) if text[-1:] in ".!?:" else escape(text) + "."


@cache
def style() -> tuple[bytes, str]:
    """Return the style sheet of all pages, and what it is known by."""
    folder = resources.files(_PACKAGE).joinpath("static")
    sheets = sorted(one.name for one in folder.iterdir() if one.name.endswith(".css"))
    texts = [folder.joinpath(name).read_text(encoding="utf-8") for name in sheets]
    data = "\n".join((colours.as_css(), *texts)).encode()
    return data, hashlib.sha256(data).hexdigest()[:16]
