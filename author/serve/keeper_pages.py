"""The keeper's page of accounts: who may come in, and as what."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from author.errors import InputError
from author.library.shop import Role
from author.library.signing import accounts
from author.procedure.review import same_name
from author.serve.at_hand import shop_of
from author.serve.rendering import NavEntry, page
from author.serve.rights import ALL_ROLES, open_to

_ABOUT: dict[Role, str] = {
    # As the README says it.
    "reader": "finds, reads, follows, sends records, sees readings",
    "author": "the same, and answers questions to the author",
    "reviewer": "the same as an author, and releases what reviewers may release",
    "keeper": "everything, and looks after these accounts",
}


@open_to("keeper")
def people_page(request: Request) -> Response:
    """Show all accounts."""
    return _people(request)


@open_to("keeper")
def people_changed(request: Request) -> Response:
    """Add an account, or change one."""
    form: FormData = request.state.form
    deed = _DEEDS.get(_text(form, "deed"))
    if deed is None:
        return _people(request, InputError("nothing was asked for", remedy="Use the buttons"))
    try:
        deed(request, form)
    except InputError as error:
        return _people(request, error, _text(form, "name"), _text(form, "deed"))
    return RedirectResponse("/people", 303)


def _people(
    request: Request, said: InputError | None = None, name: str = "", deed: str = ""
) -> Response:
    return page(
        request,
        "people.html.jinja",
        400 if said else 200,
        people=request.app.state.sessions.accounts().people,
        all_roles=[(role, _ABOUT[role]) for role in ALL_ROLES],
        said=said,
        typed=name,
        deed=deed,
        shortest=accounts.SHORTEST,
    )


def _add(request: Request, form: FormData) -> None:
    name = _text(form, "name").strip()
    accounts.add(shop_of(request), name, _roles(form), _password(form), _trades(form))


def _set_password(request: Request, form: FormData) -> None:
    accounts.set_password(shop_of(request), _text(form, "name"), _password(form))


def _set_roles(request: Request, form: FormData) -> None:
    name, roles = _text(form, "name"), _roles(form)
    if _is_own(request, name) and "keeper" not in roles:
        raise InputError(
            "nobody takes the role of keeper from themselves", remedy="Have another keeper do it"
        )
    accounts.change(shop_of(request), name, roles=roles, trades=_trades(form))


def _shut(request: Request, form: FormData) -> None:
    name = _text(form, "name")
    if _is_own(request, name):
        raise InputError("nobody shuts their own account", remedy="Have another keeper do it")
    accounts.set_disabled(shop_of(request), name, disabled=True)


def _open(request: Request, form: FormData) -> None:
    accounts.set_disabled(shop_of(request), _text(form, "name"), disabled=False)


_DEEDS = {
    "add": _add,
    "password": _set_password,
    "roles": _set_roles,
    "shut": _shut,
    "open": _open,
}


def _is_own(request: Request, name: str) -> bool:
    return not request.state.no_accounts and same_name(request.state.person.name) == same_name(name)


def _text(form: FormData, field: str) -> str:
    value = form.get(field)
    return value[:1000] if isinstance(value, str) else ""


def _password(form: FormData) -> str:
    first = _text(form, "password")
    if first != _text(form, "again"):
        raise InputError("the two passwords differ", remedy="Type it twice the same")
    return first


def _trades(form: FormData) -> tuple[str, ...]:
    named = (" ".join(one.split()) for one in _text(form, "trades").split(","))
    return tuple(dict.fromkeys(one for one in named if one))


def _roles(form: FormData) -> tuple[Role, ...]:
    ticked = form.getlist("role")
    found = tuple(role for role in ALL_ROLES if role in ticked)
    if not found:
        raise InputError("an account has a role", remedy="Tick at least one")
    return found


ROUTES = [
    Route("/people", people_page),
    Route("/people", people_changed, methods=["POST"]),
]
NAV = [NavEntry("/people", "People", ("keeper",))]
