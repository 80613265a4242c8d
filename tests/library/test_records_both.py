"""Records are indexed and listed alike, whatever database the index lies in."""

from __future__ import annotations

from pathlib import Path

import pytest

from author.library.index.database import Index
from author.library.index.indexing import refresh
from author.library.records.releases import Releaser
from author.tasks.library_records import (
    answer_question,
    hours,
    questions,
    readings,
    release_finding,
    spec_list,
    unit_list,
    unit_report,
)

from .record_samples import NAME, content_of, job, lid, lid_shop, reading, sent
from .shops import take_up
from .test_records import rows
from .test_records_open import CRACKED, worn

pytestmark = pytest.mark.usefixtures("database")


def test_what_is_kept_up_is_what_is_built_anew(tmp_path: Path) -> None:
    shop = lid_shop(tmp_path / "shop", lid(worn))
    content = content_of(shop)
    names = ["Äther 7", "ather 7", "ATHER 7", "Zug", "saw", "Saw", "7-a", "7 b"]
    for day, name in enumerate(names, 1):
        plain = job(
            content, day, unit=name, serial=None, readings=[reading(f"5.0{day}")],
            findings=[CRACKED], questions=[{"text": f"Which way round, {name}?"}],
        )  # fmt: skip
        sent(shop, plain)
        sent(shop, plain | {"handover": "The lid is on"})
        take_up(shop.folder)
    for unit in unit_list(shop.folder).value[:3]:
        found = unit_report(shop.folder, unit.slug).value.open[0]
        release_finding(shop.folder, unit.slug, found.id, Releaser("M. P.", ("keeper",)), "Mended")
    for one in questions(shop.folder).value[:3]:
        answer_question(shop.folder, one.id, "Arrow up", "A. R.")
    kept = rows(shop)
    listed = (unit_list(shop.folder), spec_list(shop.folder), questions(shop.folder))
    take_up(shop.folder, anew=True)
    assert rows(shop) == kept
    index = Index(shop)
    refresh(shop, index, anew=True, workers=1)
    index.close()
    assert rows(shop) == kept
    assert (unit_list(shop.folder), spec_list(shop.folder), questions(shop.folder)) == listed
    units = [one.name for one in listed[0].value]
    assert units == sorted(names, key=lambda name: (name.casefold(), units.index(name)))
    series = readings(shop.folder, NAME, "gap").value
    assert [str(one.shown) for one in series.points] == [f"5.0{day}" for day in range(1, 9)]
    assert [one.rule for one in series.signs] == ["trend"]
    assert [one.count for one in hours(shop.folder).value] == [8]
