"""Puts the server together: routes, each behind its rule, and what stands before all of them."""

from __future__ import annotations

import contextlib
import importlib
import inspect
from collections.abc import AsyncIterator, Callable
from pathlib import Path
from typing import Any

import anyio
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

from author.errors import ReelwrightError
from author.library.shop import open_shop
from author.serve.guards import Doorway, TooMuchError, bounded, guard, too_much, with_proxies
from author.serve.page_maker import PageMaker
from author.serve.problems import HANDLERS, fault
from author.serve.remembering import Remembered
from author.serve.rendering import read_templates
from author.serve.rights import Rule, rule_of
from author.serve.sessions import Sessions
from author.serve.settings import Settings
from author.serve.standing_audit import StandingAudit
from author.serve.standing_index import StandingIndex
from author.serve.units_on_hold import UnitsOnHold

_AT_ONCE = 4
"""Pages made at one time: more would only take turns, and each would take longer."""
_HASHES_AT_ONCE = 2
_KEPT_BYTES = 32_000_000
"""Room for content of pages that is made once."""
PAGES = (
    "find_pages",
    "procedure_pages",
    "procedure_files",
    "record_pages",
    "keeper_pages",
    "signing_in",
)
"""Modules of pages, in the order of the menu; each has ``ROUTES`` and may have ``NAV``.

The last one ends with the route that takes whatever no other does."""


def create_app(folder: Path, settings: Settings) -> Starlette:
    """Return the server of a library.

    Args:
        folder: the library.
        settings: how it is run.

    Raises:
        InputError, MachineError: if there is no library, or it cannot be read.
        RuntimeError: if a route does not say who may use it; a fault of ours.
    """
    shop = open_shop(folder)
    modules = [importlib.import_module(f"author.serve.{name}") for name in PAGES]
    routes = [_guarded(route, settings) for module in modules for route in module.ROUTES]
    index = StandingIndex(shop, settings.look_every)
    audit = StandingAudit(shop.folder, settings.audit_age)
    maker = PageMaker(shop, audit, lambda: app.state.under_way == 0) if settings.ahead else None
    app = Starlette(
        routes=routes,
        exception_handlers=HANDLERS,
        middleware=[*with_proxies(settings), Middleware(Doorway)],
        lifespan=_kept(index, audit, maker),
    )
    app.router.redirect_slashes = False
    app.state.shop = shop.folder
    app.state.shop_name = shop.sheet.name
    app.state.settings = settings
    app.state.index = index
    app.state.audit = audit
    app.state.maker = maker
    app.state.under_way = 0
    app.state.on_hold = UnitsOnHold(shop.folder)
    app.state.sessions = Sessions(shop, settings)
    app.state.kept = Remembered(_KEPT_BYTES)
    app.state.nav = [entry for module in modules for entry in getattr(module, "NAV", ())]
    return app


class Guarded:
    """A route behind its rule.

    Attributes:
        rule: who may use it.
    """

    def __init__(self, handler: Callable[[Request], Any], rule: Rule, settings: Settings) -> None:
        self.rule = rule
        self._handler = handler
        self._waits = inspect.iscoroutinefunction(handler)
        self._body_time = settings.body_time

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        request = Request(scope, bounded(receive, self.rule.most, self._body_time), send)
        state = request.app.state
        state.under_way += 1
        try:
            answer = await self._answer(request)
        except ClientDisconnect:
            return
        finally:
            state.under_way -= 1
            await request.close()
        await answer(scope, receive, send)

    async def _answer(self, request: Request) -> Response:
        try:
            refused = await guard(request, self.rule)
            if refused is not None:
                return refused
            answer: Response = (
                await self._handler(request)
                if self._waits
                else await run_in_threadpool(self._handler, request)
            )
            return answer
        except TooMuchError as error:
            return too_much(request, self.rule, error.status)
        except (ReelwrightError, HTTPException, ClientDisconnect):
            raise
        except Exception as error:  # whatever it is, nobody sees a trace
            return fault(request, error)


def _guarded(route: Route, settings: Settings) -> Route:
    """Return a route that answers only those its rule allows.

    Raises:
        RuntimeError: if it has no rule.
    """
    answer = Guarded(route.endpoint, rule_of(route), settings)
    return Route(route.path, answer, methods=sorted(route.methods or {"GET"}), name=route.name)


def rules(app: Starlette) -> dict[tuple[str, str], Rule]:
    """Return who may use each route, by its method and path."""
    return {
        (method, route.path): route.endpoint.rule
        for route in app.routes
        if isinstance(route, Route) and isinstance(route.endpoint, Guarded)
        for method in sorted((route.methods or set()) - {"HEAD"})
    }


def _kept(
    index: StandingIndex, audit: StandingAudit, maker: PageMaker | None
) -> Callable[[Starlette], Any]:
    @contextlib.asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        anyio.to_thread.current_default_thread_limiter().total_tokens = _AT_ONCE
        app.state.hashing = anyio.CapacityLimiter(_HASHES_AT_ONCE)
        read_templates()
        index.start()
        audit.start()
        if maker is not None:
            maker.start()
        try:
            yield
        finally:
            if maker is not None:
                await run_in_threadpool(maker.stop)
            await run_in_threadpool(audit.stop)
            await run_in_threadpool(index.stop)

    return lifespan
