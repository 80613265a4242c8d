"""Tables for spreadsheets: CSV after RFC 4180 that is safe to open and changes no number.

A spreadsheet guesses what a cell of a CSV file means. It runs what begins like a formula,
and it turns a part number such as ``00417`` into 417, ``1E5`` into 100000 and ``10-12``
into a day. Such a text gets an apostrophe before it, which makes it text everywhere; a text
that begins with an apostrophe gets one more. So whoever reads the table with a program takes
one leading apostrophe off a text column and has what was written, but for the apostrophes
that keep formulas harmless inside a cell.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

# Signs that begin a formula, and tab and carriage return (OWASP, CSV injection, by way of
# Symfony's note on CVE-2021-41270); line feed and the wide forms as well (from memory).
_BEGINS = "=+\\-@\t\r\n＝＋－＠"
_FORMULA = re.compile(rf"[\s\"']*[{_BEGINS}]")
# Opened with another separator, a cell may begin in the middle of the text.
_INSIDE = re.compile(rf"([,;\t|\r\n])(?=[\s\"']*[{_BEGINS}])")
# What a spreadsheet may take for a number, a share, an amount, a time or a day.
_OTHER_THAN_TEXT = re.compile(
    r"[\s\d.,:/()%$€£¥−-]*\d[\s\d.,:/()%$€£¥−-]*([eE][+-]?\d+)?(\s?[aApP]\.?[mM]\.?)?"
)
# Months as English, German, Dutch, French, Italian, Spanish and Portuguese spreadsheets know
# them, so that MAR-1 stays what it is (from memory).
_MONTHS = (
    "jan(uary|uar|uari|vier|eiro)?|janv|ene(ro)?|gen(naio)?|feb(ruary|ruar|ruari|brero|braio)?"
    "|févr?(ier)?|fev(ereiro)?|mar(ch|s|zo|ço)?|märz?|mrz|mrt|maart|apr(il|ile)?|avr(il)?"
    "|abr(il)?|may|mai|mayo|mag(gio)?|maio|mei|june?|juni?|juin|jun(io|ho)|giu(gno)?|july?|juli?"
    "|juil(let)?|jul(io|ho)|lug(lio)?|aug(ust|ustus)?|août|ago(sto)?|sept?(ember|embre|iembre)?"
    "|set(tembre|embro)?|o[ck]t(ober|obre|ubre)?|ott(obre)?|out(ubro)?|nov(ember|embre|iembre"
    "|embro)?|de[cz](ember|embro)?|déc(embre)?|dic(embre|iembre)?"
)
_DAY = re.compile(
    rf"(\d{{1,4}}[\s./-]*)?({_MONTHS})\.?[\s./,-]*(\d{{1,4}}[\s./,-]*){{0,2}}", re.IGNORECASE
)
_TRUTH = {"true", "false", "wahr", "falsch", "vrai", "faux", "vero", "falso", "verdadero"}
# Whole numbers that every spreadsheet shows as they are: with more digits some turn to 1E+11.
_PLAIN = re.compile(r"0|[1-9][0-9]{0,10}")
# What begins with a zero is a name, and of more than 15 digits a spreadsheet loses the last.
_DECIMAL = re.compile(r"(?=[-.0-9]{1,16}$)-?(0|[1-9][0-9]{0,10})(\.[0-9]+)?")


def text_cell(text: str, *, decimals: bool = False) -> str:
    """Return a text as a cell that every spreadsheet shows as it was written.

    Args:
        text: any text; a whole number of up to eleven digits stays a number.
        decimals: whether a plain decimal, such as ``-4.50``, stays a number as well: to be
            reckoned with, though a spreadsheet may show it with other digits.
    """
    inside = _INSIDE.sub(r"\1'", text)
    if (_DECIMAL if decimals else _PLAIN).fullmatch(text):
        return text
    changed = (
        text.startswith("'")
        or _FORMULA.match(text)
        or _OTHER_THAN_TEXT.fullmatch(text)
        or _DAY.fullmatch(text)
        or text.strip().casefold() in _TRUTH
    )
    return f"'{inside}" if changed else inside


def table_csv(
    columns: Sequence[str],
    rows: Iterable[Sequence[str | int | None]],
    *,
    decimals: bool = False,
    mark: bool = True,
) -> bytes:
    """Return a table as CSV: UTF-8, a row of column names, lines ended CR LF.

    Args:
        columns: the names.
        rows: the cells of each row. Whole numbers stay numbers, texts stay texts, None is
            an empty cell.
        decimals: whether plain decimals in texts stay numbers as well.
        mark: whether it begins with the mark that tells a spreadsheet that it is UTF-8; what
            is piped into another program goes without.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_cell(cell, decimals) for cell in row] for row in rows)
    return (b"\xef\xbb\xbf" if mark else b"") + out.getvalue().encode()


def _cell(cell: str | int | None, decimals: bool) -> str | int:
    if cell is None:
        return ""
    return text_cell(cell, decimals=decimals) if isinstance(cell, str) else cell
