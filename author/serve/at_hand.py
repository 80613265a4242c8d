"""What every page finds at hand: the library that is served."""

from __future__ import annotations

from pathlib import Path

from starlette.requests import Request

from author.library.shop import Shop


def shop_of(request: Request) -> Shop:
    """Return the library that is served, as the index knows it."""
    shop: Shop = request.app.state.index.shop
    return shop


def folder_of(request: Request) -> Path:
    """Return the folder of the library that is served."""
    folder: Path = request.app.state.shop
    return folder
