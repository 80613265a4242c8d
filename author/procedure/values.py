"""The kinds of value a document is made of: ids, lines, numbers, marks, stated lists.

Each is a plain Python value with a validator, a canonical way to be written, and the
constraint that JSON Schema can carry. Messages are written for the person who edits
the file by hand.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    PlainSerializer,
    WithJsonSchema,
)
from pydantic_core import CoreSchema, core_schema

from author.procedure.quantities import NUMBER_PATTERN, read_number
from author.procedure.times import DURATION_PATTERN, MARK_PATTERN, read_duration, read_mark

ID_PATTERN = r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$"
LINE_PATTERN = r"^[^\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]+$"
FILE_NAME_PATTERN = (
    r'^[^\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069/\\:*?"<>|]+$'
)
_LINE = re.compile(LINE_PATTERN)
_FILE_NAME = re.compile(FILE_NAME_PATTERN)
_ID = re.compile(ID_PATTERN)
SI_NUMBER_PATTERN = r"^-?(0|[1-9][0-9]{0,17})(\.[0-9]{1,12})?$"
_SI_NUMBER = re.compile(SI_NUMBER_PATTERN)
FRACTION_PATTERN = r"^(0(\.[0-9]{1,6})?|1(\.0{1,6})?)$"
_FRACTION = re.compile(FRACTION_PATTERN)


class Node(BaseModel):
    """Base of everything in a document: frozen, strict, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


def _check_id(value: str) -> str:
    if not _ID.fullmatch(value):
        msg = "is not an id: use lower-case words joined by hyphens, such as axle-nut"
        raise ValueError(msg)
    return value


def _check_line(value: str) -> str:
    if not _LINE.fullmatch(value):
        msg = "has a line end, a control character or a hidden direction mark in it"
        raise ValueError(msg)
    if value != value.strip():
        msg = "begins or ends with a space"
        raise ValueError(msg)
    return value


def _check_file_name(value: str) -> str:
    if not _FILE_NAME.fullmatch(value) or value in {".", ".."} or value != value.strip(" "):
        msg = "is not a plain file name: give the name alone, without a folder"
        raise ValueError(msg)
    return value


def _number(value: object) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        msg = "is not a number: write it in quotes with a decimal point, such as '9.80'"
        raise ValueError(msg)
    return read_number(value if isinstance(value, str) else format(value, "f"))


def _si_number(value: object) -> Decimal:
    """Like ``_number``, with room for a limit in a large unit told in a small one."""
    text = format(value, "f") if isinstance(value, Decimal) else value
    if isinstance(text, str) and _SI_NUMBER.fullmatch(text):
        return Decimal(text)
    return _number(value)


def _mark(value: object) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        msg = "is not a time in seconds such as '12.500000'"
        raise ValueError(msg)
    return read_mark(value if isinstance(value, str) else format(value, "f"))


def _fraction(value: object) -> Decimal:
    number = _number(value)
    if not _FRACTION.fullmatch(format(number, "f")):
        msg = "is not a place in the picture: 0 is left or top, 1 is right or bottom"
        raise ValueError(msg)
    return number


def _duration(value: str) -> str:
    read_duration(value)
    return value


def _plain(value: Decimal) -> str:
    return format(value, "f")


# The patterns stand in the JSON Schema; here the validators hold them, in words.
Id = Annotated[
    str,
    Field(max_length=48, json_schema_extra={"pattern": ID_PATTERN}),
    AfterValidator(_check_id),
]
Line = Annotated[
    str,
    Field(min_length=1, max_length=400, json_schema_extra={"pattern": LINE_PATTERN}),
    AfterValidator(_check_line),
]
FileName = Annotated[
    str,
    Field(min_length=1, max_length=200, json_schema_extra={"pattern": FILE_NAME_PATTERN}),
    AfterValidator(_check_file_name),
]
Number = Annotated[
    Decimal,
    BeforeValidator(_number),
    PlainSerializer(_plain, return_type=str),
    WithJsonSchema({"type": "string", "pattern": NUMBER_PATTERN, "maxLength": 26}),
]
SiNumber = Annotated[
    Decimal,
    BeforeValidator(_si_number),
    PlainSerializer(_plain, return_type=str),
    WithJsonSchema({"type": "string", "pattern": SI_NUMBER_PATTERN, "maxLength": 32}),
]
Mark = Annotated[
    Decimal,
    BeforeValidator(_mark),
    PlainSerializer(_plain, return_type=str),
    WithJsonSchema({"type": "string", "pattern": MARK_PATTERN}),
]
PictureFraction = Annotated[
    Decimal,
    BeforeValidator(_fraction),
    PlainSerializer(_plain, return_type=str),
    WithJsonSchema({"type": "string", "pattern": FRACTION_PATTERN}),
]
Duration = Annotated[
    str,
    Field(json_schema_extra={"pattern": DURATION_PATTERN}),
    AfterValidator(_duration),
]
Count = Annotated[int, Field(ge=1, le=10_000)]


def _as_tuple(value: object) -> object:
    return tuple(value) if isinstance(value, list) else value


def _none_as_empty(value: object) -> object:
    if value == "none":
        return ()
    if isinstance(value, list | tuple) and not value:
        msg = "is an empty list: write 'none' so that a reader knows it was thought of"
        raise ValueError(msg)
    if not isinstance(value, list | tuple):
        msg = "is neither a list nor the word none"
        raise ValueError(msg)
    return tuple(value)


class _Stated:
    """Marks a list that must be there: entries, or the word ``none``."""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_before_validator_function(
            _none_as_empty,
            handler(source),
            serialization=core_schema.wrap_serializer_function_ser_schema(
                lambda value, inner: inner(value) if value else "none",
                schema=handler(source),
            ),
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        array = dict(handler(schema["schema"]))
        array["minItems"] = 1
        return {"anyOf": [array, {"const": "none"}]}


STATED = _Stated()
# Lists inside steps: absent means there is none; an empty list is refused.
SOME = (Field(min_length=1), BeforeValidator(_as_tuple))
SEVERAL = (Field(min_length=2), BeforeValidator(_as_tuple))

Point = Annotated[
    tuple[PictureFraction, PictureFraction],
    BeforeValidator(_as_tuple),
]
