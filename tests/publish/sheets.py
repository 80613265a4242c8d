"""What the tests of sheets share: procedures and records of the contract's examples, PDFs read."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import pikepdf
import pypdf
from document.examples import EXAMPLES, plain, valid

from author.contract import read_procedure
from author.procedure.document import Procedure
from author.procedure.job_record import RECORD_SCHEMA, JobRecord

PAYLOADS = ["#panic()", "$x$", "*a*", "<b>", "`c`", "\\n", "@d", "//e", "${g}", "= h", "</script>"]
EVERYTHING = " ".join(PAYLOADS)


def example(name: str) -> Procedure:
    return read_procedure(EXAMPLES / "valid" / f"{name}.yaml").procedure


def record_plain(name: str) -> dict:
    return plain(next(file for file in valid(RECORD_SCHEMA) if file.stem == name))


def record(name: str, **changes: object) -> JobRecord:
    return JobRecord.model_validate({**record_plain(name), **changes})


def page_texts(pdf: bytes) -> list[str]:
    """Return the text of each page without spaces and hyphens."""
    return [flat(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def flat(text: str) -> str:
    return "".join(re.sub("[\u00ad\u200b-]", "", text).split())


def text_of(pdf: bytes) -> str:
    return "".join(page_texts(pdf))


def tags(pdf: bytes) -> Iterator[str]:
    """Yield the kind of every element of the structure tree."""
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        todo = [opened.Root.StructTreeRoot]
        while todo:
            node = todo.pop()
            if "/S" in node:
                yield str(node.S)
            children = node.get("/K", [])
            children = children if isinstance(children, pikepdf.Array) else [children]
            todo += [c for c in children if isinstance(c, pikepdf.Dictionary) and "/S" in c]


def assert_archival(pdf: bytes, title: str) -> None:
    """It says that it is PDF/A-3a and PDF/UA-1, has a title and language, and embeds fonts."""
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        with opened.open_metadata() as meta:
            assert (meta["pdfaid:part"], meta["pdfaid:conformance"]) == ("3", "A")
            assert meta["pdfuaid:part"] == "1"
            assert meta["dc:title"] == title
        assert opened.Root.Lang == "en"
        assert opened.Root.MarkInfo.Marked
        fonts = [o for o in opened.objects if isinstance(o, pikepdf.Dictionary)]
        described = [o for o in fonts if o.get("/Type") == "/FontDescriptor"]
        assert described
        assert all(o.get("/FontFile2") or o.get("/FontFile3") for o in described)
        assert opened.check_pdf_syntax() == []


def paper_sizes(pdf: bytes) -> set[tuple[int, int]]:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return {(round(page.mediabox.width), round(page.mediabox.height)) for page in pages}
