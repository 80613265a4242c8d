"""The order sheet: a table that no spreadsheet runs or changes, and pages for the parts desk."""

from __future__ import annotations

import csv
import io

import pytest
from document.samples import base, load
from hypothesis import given, settings
from hypothesis import strategies as st

from author.errors import InputError
from author.procedure.orders import Job, OrderSheet, order_sheet
from author.publish.order_sheet import COLUMNS, order_csv, order_pdf, sheet_of
from author.publish.spreadsheet import table_csv, text_cell
from publish import sample
from publish.sheets import (
    EVERYTHING,
    assert_archival,
    example,
    flat,
    page_texts,
    paper_sizes,
    tags,
    text_of,
)

BOM = b"\xef\xbb\xbf"


def procedure(*parts: dict, **more: object):
    plain = {**base(), "id": "job", "parts": [*parts] or "none", **more}
    return load(plain).procedure


def part(name: str, **more: object) -> dict:
    return {"id": name, "name": f"Part {name}", "replace": "always", "order": "always", **more}


def sheet(*parts: dict, **more: object) -> OrderSheet:
    return order_sheet([Job(procedure(*parts, **more))])


def rows(data: bytes, delimiter: str = ",") -> list[list[str]]:
    return [*csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), delimiter=delimiter)]


def table(data: bytes) -> list[dict[str, str]]:
    return [*csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""))]


# --- CSV ---


def test_it_is_csv_with_crlf_and_a_mark_and_one_row_for_each_line():
    """RFC 4180, 2.1 to 2.7; the mark tells spreadsheets that it is UTF-8."""
    found = order_sheet([Job(example("everything-once")), Job(example("cylinder-seals"), 3)])
    data = order_csv(found)
    assert data.startswith(BOM)
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n") == 1 + len(table(data))
    assert all(len(row) == len(COLUMNS) for row in rows(data))
    assert len(table(data)) == len(found.numbered) + len(found.unnumbered) + len(found.supplies)


def test_quantities_are_plain_numbers():
    more = part("t", number="N-2", order="only_if", order_if="it is worn", quantity=3)
    line, other, *_ = table(
        order_csv(sheet(part("s", number="N-1", quantity=5, pack_size=4), more))
    )
    names = ("needed_always", "pack_size", "packs_now", "pieces_now", "packs_all", "pieces_all")
    assert [line[name] for name in names] == ["5", "4", "2", "8", "2", "8"]
    assert [other[name] for name in names] == ["0", "1", "0", "0", "3", "3"]
    assert (other["order"], other["only_if"]) == ("only if", "it is worn")


# What a spreadsheet makes of each, were it left as it is (common practice, no source):
# 417, 100000, a day, a day, 1.2346E+11, 10.5, half an hour past twelve, true, a day.
CHANGED = ["00417", "1E5", "10-12", "MAR-1", "123456789012", "10.50", "12:30", "TRUE", "3 Okt"]
SAFE = ["BW-101", "417", "6203-2RS", "M8 × 40", "Marker 5", "1234567-AB", "Ø 17"]


@pytest.mark.parametrize("number", CHANGED)
def test_a_part_number_that_a_spreadsheet_would_change_is_kept_as_text(number):
    (line, *_) = table(order_csv(sheet(part("s", number=number))))
    assert line["number"] == f"'{number}"


@pytest.mark.parametrize("number", SAFE)
def test_other_part_numbers_come_out_as_they_are(number):
    (line, *_) = table(order_csv(sheet(part("s", number=number))))
    assert line["number"] == number


def test_an_apostrophe_can_be_taken_off_again():
    assert text_cell("'x") == "''x"
    for text in [*CHANGED, *SAFE, "'x", "''", "=1"]:
        cell = text_cell(text)
        assert (cell[1:] if cell.startswith("'") else cell) == text


# The list of OWASP (CSV injection), by way of Symfony's note on CVE-2021-41270.
FORMULAS = ["=1+1", "+1+a", "-1+a", "@SUM(A1)", "\t=1", "\r=1"]


@pytest.mark.parametrize("text", [*FORMULAS, "＝1", " =1", '"=1', "-2+3", "=cmd|' /c x'!A1"])
def test_a_formula_becomes_text(text):
    assert text_cell(text).startswith("'")


@pytest.mark.parametrize("text", ["a;=1", "a,=1", "a\t=1", "a, @x", 'a;"=1', "a;-1"])
def test_a_formula_behind_a_separator_becomes_text_too(text):
    """OWASP: a separator in the text may begin a cell of its own."""
    for delimiter in ",;\t|":
        for cell in rows(table_csv(("n",), [[text]]), delimiter)[1]:
            assert not cell.lstrip(' "').startswith(("=", "+", "-", "@"))


SIGNS = st.text(alphabet="ab1 =+-@\t\r\n,;|\"'＝−05./:E", max_size=12)


@settings(max_examples=400)
@given(st.lists(st.lists(SIGNS, min_size=3, max_size=3), max_size=3))
def test_whatever_the_text_no_cell_is_a_formula_by_any_separator(cells):
    data = table_csv(("a", "b", "c"), cells)
    for delimiter in ",;\t|":
        for row in rows(data, delimiter):
            for cell in row:
                assert not cell.strip(' "\r\n').startswith(tuple("=+-@\t\r＝"))


@given(st.lists(SIGNS, min_size=2, max_size=2))
def test_whatever_the_text_a_program_reads_it_back(cells):
    read = rows(table_csv(("a", "b"), [cells]))[1]
    for text, cell in zip(cells, read, strict=True):
        bare = cell[1:] if cell.startswith("'") else cell
        assert [c for c in bare if c != "'"] == [c for c in text if c != "'"]


def test_rows_carry_their_marks():
    real = Job(procedure(part("s", number="N-1"), data="shop"), draft=True)
    demo = Job(procedure(part("t", number="N-2"), id="other"))
    old = Job(procedure(part("u", number="N-3"), id="old", data="shop", state="withdrawn"))
    marks = {
        line["number"]: line["mark"] for line in table(order_csv(order_sheet([real, demo, old])))
    }
    assert marks["N-1"] == "DRAFT: not for use"
    assert marks["N-2"] == "Demo data"
    assert marks["N-3"] == "Withdrawn, do not use"


# --- PDF ---


@pytest.fixture(scope="module")
def merged() -> OrderSheet:
    names = ("everything-once", "cylinder-seals", "dishwasher-board")
    return order_sheet([Job(example(name), times) for times, name in enumerate(names, 1)])


@pytest.fixture(scope="module")
def pages(merged) -> bytes:
    return order_pdf(merged)


def test_the_same_input_gives_the_same_bytes(merged, pages):
    assert order_pdf(merged) == pages
    assert order_csv(merged) == order_csv(merged)


def test_it_is_tagged_and_archival(pages):
    assert_archival(pages, "Order sheet for 3 procedures")
    found = [*tags(pages)]
    assert {"/Table", "/TH", "/TD", "/H1"} <= set(found)


def test_every_line_and_remark_is_printed(merged, pages):
    text = text_of(pages)
    for line in (*merged.numbered, *merged.unnumbered):
        wanted = [line.name, *line.remarks, *line.conditions, *line.alternatives, *line.notes]
        for words in [*wanted, line.number or line.name]:
            assert flat(words) in text, words
    for supply in merged.supplies:
        assert flat(supply.name) in text


def test_packs_and_the_split_by_rule_are_printed():
    always = procedure(part("s", number="N-1", quantity=2, pack_size=4))
    more = part("t", number="N-1", order="in_case", quantity=3, pack_size=4)
    found = order_sheet([Job(always), Job(procedure(more, id="other"))])
    text = text_of(order_pdf(found))
    assert flat("2 always + 3 in case") in text
    assert flat("2 packs of 4 = 8 pieces") in text
    last = part("u", number="N-1", order="only_if", order_if="worn", quantity=9, pack_size=4)
    found = found.merged(order_sheet([Job(procedure(last, id="third"))]))
    assert flat("now: 2 packs of 4 = 8 pieces if so: 4 packs of 4 = 16 pieces") in text_of(
        order_pdf(found)
    )


def test_replaced_numbers_are_told():
    old = procedure(part("s", number="OLD"))
    new = procedure(part("t", number="NEW", supersedes=["OLD"]), id="other")
    found = order_sheet([Job(old), Job(new)])
    assert flat("Takes the place of OLD") in text_of(order_pdf(found))
    assert table(order_csv(found))[0]["instead_of"] == "OLD"


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("us-letter", (612, 792))])
def test_paper(merged, paper, size):
    assert paper_sizes(order_pdf(merged, paper)) == {size}


def test_a_draft_and_demo_data_are_marked_on_every_page():
    marked = page_texts(order_pdf(sheet_of(sample.draft())))
    assert all(page.count("DRAFT") >= 2 and flat("Demo data") in page for page in marked)
    clean = page_texts(order_pdf(sheet_of(sample.checked())))
    assert not any("DRAFT" in page for page in clean)
    real = page_texts(order_pdf(sheet(part("s"), data="shop")))
    assert not any(flat("Demo data") in page for page in real)


def test_nothing_to_order_is_said():
    assert flat("No part has to be ordered") in text_of(order_pdf(sheet(supplies="none")))


def test_markup_comes_out_as_text():
    poisoned = part("s", number=EVERYTHING, note=EVERYTHING, alternatives=[f"A {EVERYTHING}"])
    poisoned["name"] = EVERYTHING
    found = sheet(poisoned, title=EVERYTHING)
    assert text_of(order_pdf(found)).count(flat(EVERYTHING)) >= 5
    (line, *_) = table(order_csv(found))
    assert line["name"] == line["number"] == EVERYTHING


def test_long_words_stay_inside_their_column():
    word = "BW-101-2RS/C3_0042.18" * 15
    pdf = order_pdf(sheet(part("s", number=word, note=word)))
    assert text_of(pdf).count(flat(word)) == 2


def test_characters_without_a_glyph_are_refused():
    with pytest.raises(InputError, match=r"the order sheet.*U\+65E5"):
        order_pdf(sheet(part("s", note="日本")))
