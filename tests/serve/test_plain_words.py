"""What the pages say so that nobody works by something else than they believe."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from library.record_samples import NAME, content_of, job, lid, sent
from library.shops import action, part, procedure, put, torque
from library.test_records_open import worn

from author.contract.procedure_file import PROCEDURE_FILE
from author.library.asking.forgotten_units import forgotten_units, taken_values
from author.library.asking.query import read_query
from author.library.records.run_series import Limit, Point, Series, SeriesJob
from author.library.shop import open_shop
from author.procedure.units import all_units
from author.publish.published_yaml import published_yaml
from author.serve.guards import _a
from author.serve.one_rule import same_digits
from author.serve.procedure_view import load
from author.storage import new_generation

from .conftest import PAGE, Desk
from .test_pages import change_limit, plain, until

BEHIND = "published before the last change; publish again"


def put_published(folder: Path, name: str, *, draft: bool = False) -> None:
    """Publish a page of what the file says now."""
    one = load(open_shop(folder), name)
    with new_generation(folder / "procedures" / name / "published") as made:
        made.write("page/index.html", PAGE)
        made.write(PROCEDURE_FILE, published_yaml(one))
        about = {"procedure": name, "revision": one.revision, "state": one.state, "draft": draft}
        made.commit(about)


def test_a_page_published_before_the_last_change_is_told_of(here: Desk) -> None:
    put_published(here.folder, "guard-clips")
    assert BEHIND not in plain(here.get("/procedures/guard-clips").text)
    assert "last change" not in here.get("/procedures/guard-clips/page/index.html").text
    changed = procedure("guard-clips", "Renew the guard clips", action("Pull the clip off"))
    put(here.folder / "procedures" / "guard-clips", changed)
    assert BEHIND in plain(here.get("/procedures/guard-clips").text)
    page = here.get("/procedures/guard-clips/page/index.html")
    assert page.status_code == 409
    said = "It was changed after it was published: publish it again."
    assert said in plain(page.text)
    page = here.get("/procedures/guard-clips/page/index.html?all-the-same=yes")
    assert f'<p class="tape"><strong>{said} Here only to end a job' in page.text
    put_published(here.folder, "guard-clips")
    assert BEHIND not in plain(here.get("/procedures/guard-clips").text)


def test_a_new_state_is_no_change_of_what_is_published(here: Desk) -> None:
    put_published(here.folder, "guard-clips")
    plain_file = procedure("guard-clips", "Renew the guard clips", state="in_review")
    published = procedure("guard-clips", "Renew the guard clips")
    put(here.folder / "procedures" / "guard-clips", published)
    put_published(here.folder, "guard-clips")
    put(here.folder / "procedures" / "guard-clips", plain_file)
    said = plain(here.get("/procedures/guard-clips").text)
    assert BEHIND not in said
    assert "made of revision 1 while it was draft" in said


def chips(desk: Desk, title: str, path: str = "/") -> str:
    text = plain(desk.get(path).text)
    return text.partition(title)[2][:90]


def test_a_list_calls_nothing_approved_that_is_not_as_signed(here: Desk) -> None:
    title = load(open_shop(here.folder), "belt-change").title
    assert until(lambda: chips(here, title).startswith(" approved"))
    change_limit(here.folder)
    here.client.app.state.audit._looked.clear()  # type: ignore[attr-defined]
    assert chips(here, title).startswith(" says approved")
    assert until(lambda: chips(here, title).startswith(" not as signed says approved"))


def test_a_list_tells_what_only_the_file_calls_approved(here: Desk) -> None:
    put(
        here.folder / "procedures" / "by-file",
        procedure("by-file", "By its file", state="approved"),
    )
    here.client.app.state.index.look_now()  # type: ignore[attr-defined]
    assert until(lambda: "says approved" in chips(here, "By its file"))


def test_a_finding_of_a_procedure_is_no_hold_of_a_unit(here: Desk) -> None:
    put(here.folder / "procedures" / NAME, lid(worn))
    here.client.app.state.index.look_now()  # type: ignore[attr-defined]
    said = plain(here.get("/?q=lid").text)
    assert "unit on hold" not in said
    assert "has a finding that holds the unit until released" in said
    assert "HOLD " not in plain(here.get(f"/procedures/{NAME}").text)


def test_an_approved_revision_names_the_draft_after_it(here: Desk) -> None:
    folder = here.folder / "procedures" / "guard-clips"
    approved = procedure("guard-clips", "Renew the guard clips", state="approved")
    put(folder, approved)
    put_published(here.folder, "guard-clips")
    put(folder / "revisions" / "1", approved)
    put(folder, procedure("guard-clips", "Renew the guard clips", revision=2))
    page = here.get("/procedures/guard-clips").text
    assert "This revision is in force. Revision 2 is being written" in plain(page)
    assert 'href="/procedures/guard-clips/revisions/2"' in page
    assert "No job is begun by it. It is not as signed." in plain(page)
    assert page.count('class="standing') == 1
    assert "last change" not in page


def test_places_datum_and_stop_are_shown(here: Desk) -> None:
    def change(plain_file: dict[str, Any]) -> None:
        step = plain_file["sections"][0]["steps"][1]
        one = next(some for key in ("measurements", "specs") for some in step.get(key, ()))
        one |= {"positions": ["front", "back"], "datum": "the machined face"}
        seen = {"id": "dead", "look_for": "Any movement", "accept": "None"}
        step["criteria"] = [seen | {"otherwise": "Lock out again", "if_not": "stop"}]

    put(here.folder / "procedures" / "placed", procedure("placed", "", change))
    said = plain(here.get("/procedures/placed").text)
    assert "from the machined face" in said
    assert "Read at: front; back" in said
    assert "Otherwise: STOP. Lock out again." in said


def test_a_way_of_a_decision_is_told_as_a_sentence(here: Desk) -> None:
    def change(plain_file: dict[str, Any]) -> None:
        first, second, *_ = plain_file["sections"][0]["steps"]
        again = {"when": "it is worn", "step": first["id"], "at_most": 1}
        ways = [again, {"when": "it is cracked", "stop": "Send it away"}]
        second["decision"] = {"question": "Is it worn?", "ways": ways}

    put(here.folder / "procedures" / "placed", procedure("placed", "", change))
    said = plain(here.get("/procedures/placed").text)
    assert "If it is worn (once): Go to step 1 . If it is cracked: STOP. Send it away." in said


@pytest.mark.parametrize(
    ("roles", "said"),
    [
        (("keeper",), "a keeper"),
        (("author", "keeper"), "an author or a keeper"),
        (("author", "reviewer", "keeper"), "an author, a reviewer or a keeper"),
    ],
)
def test_roles_are_spoken_of(roles: tuple[str, ...], said: str) -> None:
    assert _a(*roles) == said


def made_of(kind: Any, **known: Any) -> Any:
    """Return something of which only a part matters here."""
    return kind(**dict.fromkeys(kind.__dataclass_fields__) | known)


def test_a_torque_reads_the_same_read_and_limited() -> None:
    unit = all_units()["lbf·ft"]
    exact = Fraction("44") / unit.factor
    limit = Limit(exact, Decimal("32.5"))
    done = made_of(SeriesJob, upper=limit)
    read = {"exact": exact, "shown": Decimal("32.45"), "unit": "N·m"}
    points = (
        made_of(Point, **read),
        made_of(Point, **read | {"shown": Decimal("32.5"), "unit": "lbf·ft"}),
    )
    made = same_digits(made_of(Series, unit=unit, jobs=(done,), points=points))
    assert made.jobs[0].upper is not None
    assert str(made.jobs[0].upper.shown) == "32.45"
    assert [str(some.shown) for some in made.points] == ["32.45", "32.5"]


def test_jobs_of_one_day_show_their_time(here: Desk) -> None:
    put(here.folder / "procedures" / NAME, lid(worn))
    shop = open_shop(here.folder)
    kept = sent(shop, job(content_of(shop))).kept
    began = f"{kept.record.began[:10]} {kept.record.began[11:16]}"
    for path in ("/units", f"/units/{kept.slug}", f"/readings/{NAME}/gap"):
        assert began in plain(here.get(path).text), path
    assert "PT" not in plain(here.get("/hours").text)


def test_an_overdue_review_is_marked(here: Desk) -> None:
    review = {"authors": ["A. R."], "due": "2020-03-31"}
    put(here.folder / "procedures" / "late", procedure("late", "Late", review=review))
    assert "Review overdue It was due on 2020-03-31" in plain(here.get("/procedures/late").text)
    assert "Review overdue" not in plain(here.get("/procedures/guard-clips").text)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("torque 20 to 30", "20 to 30 of what? Write e.g. 20 to 30 N·m"),
        ("torque 30 to 9 N·m", "30 to 9 runs downward and is no range: write 9 to 30"),
        ("guard length 5..4", "5..4 runs downward and is no range: write 4..5"),
        (
            "torqe 20 to 30",
            "“torqe” is taken for torque. 20 to 30 of what? Write e.g. 20 to 30 N·m",
        ),
        ("guard length 4..5", "4..5 of what? Write e.g. 4..5 mm"),
        ("torque 22", "22 of what? Write e.g. 22 N·m"),
        ("torque 20 to 30 N·m", None),
        ("length 4.6 to 5 mm clip", None),
        ("bearing 6203-2", None),
        ("M8 50", None),
        (
            "20 to 30 furlongs",
            "“furlongs” is no unit known here, nor is “20 to 30 furlongs” a range",
        ),
    ],
)
def test_a_forgotten_or_wrong_unit_is_asked_for(typed: str, said: str | None) -> None:
    assert forgotten_units(typed, read_query(typed)) == (() if said is None else (said,))


def test_a_slip_and_a_forgotten_unit_are_told_beside_the_results(here: Desk) -> None:
    made = procedure("tight", "Tighten the cap", torque("20", "30", "N·m"), parts=[part("Cap")])
    put(here.folder / "procedures" / "tight", made)
    assert until(lambda: "Tighten the cap" in here.get("/?q=tighten").text)
    assert "No procedure has “torqe”: taken for torque" in plain(here.get("/?q=torqe").text)
    assert "taken for" not in plain(here.get("/?q=torque").text)
    assert "20 to 30 of what?" in plain(here.get("/?q=torque+20+to+30").text)


@pytest.mark.parametrize(
    ("typed", "words", "told"),
    [
        ("0.05 mm", 0, "0.05 mm is taken as a value"),
        ("0.05mm", 0, "0.05mm is taken as a value"),
        ("spread 0.05 mm", 3, "0.05 mm is looked for as words; as a value write length 0.05 mm"),
        ("length 0.05 mm", 0, ""),
        ("20 to 30 mm", 0, ""),
        ("3 bolts", 2, ""),
        ("fit 2 in the housing", 3, ""),
        ("6203 2rs", 2, ""),
    ],
)
def test_a_number_with_a_unit_is_a_value_or_told_to_be_words(
    typed: str, words: int, told: str
) -> None:
    asked = read_query(typed)
    assert len(asked.words) == words
    assert bool(asked.specs) is (words == 0)
    said = taken_values(typed, asked)
    assert len(said) == bool(told)
    assert "".join(said).startswith(told)
