"""Brings files of older schemas up to date: plain values to plain values, one version at a time.

A file is upgraded on the way in and nowhere else: what lies on the disk stays as it is
until somebody saves it. There is no older version yet; the first change of
``procedure/1`` that an old reader could not read puts its upgrade here.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Mapping
from typing import Any

from author.contract.yaml_moved import TrackedCopy
from author.contract.yaml_reader import YamlTree

Upgrade = Callable[[dict[str, Any]], dict[str, Any]]
"""One step: it may change the values it is given, and moves a block rather than writing it
anew, so that remarks on it point to where it stands in the old file."""

Upgrades = Mapping[str, Mapping[int, Upgrade]]

UPGRADES: dict[str, Mapping[int, Upgrade]] = {}
"""By kind of file, e.g. ``procedure``, the step from each older version to the next."""

_NAME = re.compile(r"([a-z_]+)/(0|[1-9][0-9]{0,5})")


def upgraded(value: dict[str, Any], schema: str, upgrades: Upgrades = UPGRADES) -> dict[str, Any]:
    """Return the values of a file as a newer schema has them.

    Args:
        value: plain values of a file; not changed.
        schema: name and version wanted, e.g. ``procedure/1``.
        upgrades: the steps known.

    Returns:
        The same object where nothing is to be done, or where no way leads from the
        file's version to the one wanted: whoever reads it then says so.
    """
    versions = _versions(value.get("schema"), schema)
    if not versions or missing_step(value.get("schema"), schema, upgrades) is not None:
        return value
    return _applied(copy.deepcopy(value), schema, versions, upgrades)


def upgraded_tree(tree: YamlTree, schema: str, upgrades: Upgrades = UPGRADES) -> YamlTree:
    """Return a file as a newer schema has it, with each value where it stands in the file.

    Args:
        tree: what was read, a block of keys; not changed.
        schema: name and version wanted, e.g. ``procedure/1``.
        upgrades: the steps known.

    Returns:
        The same object where nothing is to be done, as ``upgraded`` has it.
    """
    said = tree.value.get("schema")
    versions = _versions(said, schema)
    if not versions or missing_step(said, schema, upgrades) is not None:
        return tree
    tracked = TrackedCopy(tree)
    return tracked.moved(_applied(tracked.value, schema, versions, upgrades))


def missing_step(said: object, schema: str, upgrades: Upgrades = UPGRADES) -> int | None:
    """Return the first older version that no step leads on from.

    Args:
        said: what a file says its schema is.
        schema: name and version wanted.
        upgrades: the steps known.

    Returns:
        None if there is no such gap, or the file is not of an older version.
    """
    steps = upgrades.get(schema.partition("/")[0], {})
    return next((version for version in _versions(said, schema) if version not in steps), None)


def _versions(said: object, schema: str) -> range:
    """Return the versions that have to be left behind, none if that is not the way."""
    wanted, found = _NAME.fullmatch(schema), _NAME.fullmatch(str(said))
    if wanted is None or found is None or wanted[1] != found[1]:
        return range(0)
    return range(int(found[2]), int(wanted[2]))


def _applied(
    value: dict[str, Any], schema: str, versions: range, upgrades: Upgrades
) -> dict[str, Any]:
    kind = schema.partition("/")[0]
    for version in versions:
        value = {**upgrades[kind][version](value), "schema": f"{kind}/{version + 1}"}
    return value
