"""The kinds of value a document is made of: ids, lines, numbers, marks, stated lists.

Each is a plain Python value with a validator, a canonical way to be written, and the
constraint that JSON Schema can carry. Messages are written for the person who edits
the file by hand.
"""

from __future__ import annotations

import re
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ModelWrapValidatorHandler,
    PlainSerializer,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import CoreSchema, core_schema

from author.procedure.quantities import AMOUNT_PATTERN, NUMBER_PATTERN, read_number
from author.procedure.times import DURATION_PATTERN, MARK_PATTERN, read_duration, read_mark

ID_LENGTH = 48
LINE_LENGTH = 400
ID_PATTERN = r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$"
# No control characters, line ends, signs that turn the direction of writing (property
# Bidi_Control of Unicode, from memory) or signs that cannot be seen at all.
_UNSEEN = (
    r"\u0000-\u001f\u007f-\u009f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff"
)
LINE_PATTERN = rf"^[^{_UNSEEN}]+$"
FILE_NAME_PATTERN = rf'^[^{_UNSEEN}/\\:*?"<>|]+$'
_LINE = re.compile(LINE_PATTERN)
_AMOUNT = re.compile(AMOUNT_PATTERN)
_FILE_NAME = re.compile(FILE_NAME_PATTERN)
_ID = re.compile(ID_PATTERN)
SI_NUMBER_PATTERN = r"^-?(0|[1-9][0-9]{0,17})(\.[0-9]{1,12})?$"
_SI_NUMBER = re.compile(SI_NUMBER_PATTERN)
FRACTION_PATTERN = r"^(0(\.[0-9]{1,6})?|1(\.0{1,6})?)$"
_FRACTION = re.compile(FRACTION_PATTERN)
# A share of the picture that is not nothing.
SHARE_PATTERN = (
    r"^(0\.([1-9][0-9]{0,5}|0[1-9][0-9]{0,4}|00[1-9][0-9]{0,3}|0{3}[1-9][0-9]{0,2}"
    r"|0{4}[1-9][0-9]?|0{5}[1-9])|1(\.0{1,6})?)$"
)
FINGERPRINT_PATTERN = r"^[0-9a-f]{64}$"
RULE_PATTERN = r"^[a-z]+\.[a-z_]+$"
DATE_PATTERN = r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"
_DATE = re.compile(DATE_PATTERN)
MOMENT_PATTERN = (
    r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])T"
    r"([01][0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9])?(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])$"
)
_MOMENT = re.compile(MOMENT_PATTERN)


class TooManyFaults(Exception):
    """A file has more faults than are worth counting; ends its reading at once."""


class FaultCount:
    """How many faults reading has met; the context of a validation that must not run on.

    Attributes:
        left: how many more are borne.
    """

    def __init__(self, left: int) -> None:
        self.left = left

    def add(self, faults: int) -> None:
        """Count faults.

        Raises:
            TooManyFaults: if there are more than are borne.
        """
        self.left -= faults
        if self.left < 0:
            raise TooManyFaults


class Node(BaseModel):
    """Base of everything in a document: frozen, strict, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    @model_validator(mode="wrap")
    @classmethod
    def _count_faults(
        cls, value: Any, handler: ModelWrapValidatorHandler[Self], info: ValidationInfo
    ) -> Self:
        try:
            return handler(value)
        except ValidationError as error:
            if isinstance(info.context, FaultCount):
                info.context.add(error.error_count())
            raise


def _check_id(value: str) -> str:
    if not _ID.fullmatch(value):
        msg = "is not an id: use lower-case words joined by hyphens, such as axle-nut"
        raise ValueError(msg)
    return value


def check_line(value: str) -> str:
    """Return a text that has the form of a line.

    Raises:
        ValueError: if it has not; the message says what is wrong with it.
    """
    if not _LINE.fullmatch(value):
        msg = "has a line end, a control character or a hidden direction mark in it"
        raise ValueError(msg)
    if value != value.strip():
        msg = "begins or ends with a space"
        raise ValueError(msg)
    return value


def check_file_name(value: str) -> str:
    """Return a name of a file that can stand in a document.

    Raises:
        ValueError: if it cannot; the message says what is wrong with it.
    """
    if not _FILE_NAME.fullmatch(value) or value in {".", ".."} or value != value.strip(" "):
        msg = "is not a plain file name: give the name alone, without a folder"
        raise ValueError(msg)
    return value


def _number(value: object) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        msg = "is not a number: write it in quotes with a decimal point, such as '9.80'"
        raise ValueError(msg)
    return read_number(value if isinstance(value, str) else format(value, "f"))


def _amount(value: object) -> Decimal:
    number = _number(value)
    if not _AMOUNT.fullmatch(format(number, "f")):
        msg = "is not more than zero"
        raise ValueError(msg)
    return number


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


def _share(value: object) -> Decimal:
    number = _fraction(value)
    if not number:
        msg = "is nothing of the picture: give a share of more than 0"
        raise ValueError(msg)
    return number


def _duration(value: str) -> str:
    read_duration(value)
    return value


def _check_date(value: str) -> str:
    try:
        if not _DATE.fullmatch(value):
            raise ValueError
        date.fromisoformat(value)
    except ValueError:
        msg = "is not a day of the calendar, year first, such as 2026-03-31"
        raise ValueError(msg) from None
    return value


def _check_moment(value: str) -> str:
    try:
        if not _MOMENT.fullmatch(value):
            raise ValueError
        datetime.fromisoformat(value)
    except ValueError:
        msg = "is not a moment with its time zone, such as 2026-03-31T14:05:00+01:00"
        raise ValueError(msg) from None
    return value


def _plain(value: Decimal) -> str:
    return format(value, "f")


# The patterns stand in the JSON Schema; here the validators hold them, in words.
Id = Annotated[
    str,
    Field(max_length=ID_LENGTH, json_schema_extra={"pattern": ID_PATTERN}),
    AfterValidator(_check_id),
]
Line = Annotated[
    str,
    Field(min_length=1, max_length=LINE_LENGTH, json_schema_extra={"pattern": LINE_PATTERN}),
    AfterValidator(check_line),
]
FileName = Annotated[
    str,
    Field(min_length=1, max_length=200, json_schema_extra={"pattern": FILE_NAME_PATTERN}),
    AfterValidator(check_file_name),
]
Number = Annotated[
    Decimal,
    BeforeValidator(_number),
    PlainSerializer(_plain, return_type=str),
    WithJsonSchema({"type": "string", "pattern": NUMBER_PATTERN, "maxLength": 26}),
]
Amount = Annotated[
    Decimal,
    BeforeValidator(_amount),
    PlainSerializer(_plain, return_type=str),
    WithJsonSchema({"type": "string", "pattern": AMOUNT_PATTERN, "maxLength": 26}),
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
PictureShare = Annotated[
    Decimal,
    BeforeValidator(_share),
    PlainSerializer(_plain, return_type=str),
    WithJsonSchema({"type": "string", "pattern": SHARE_PATTERN}),
]
Duration = Annotated[
    str,
    Field(json_schema_extra={"pattern": DURATION_PATTERN}),
    AfterValidator(_duration),
]
Count = Annotated[int, Field(ge=1, le=10_000)]
Fingerprint = Annotated[str, Field(pattern=FINGERPRINT_PATTERN)]
RuleId = Annotated[str, Field(max_length=60, pattern=RULE_PATTERN)]
Date = Annotated[
    str,
    Field(json_schema_extra={"pattern": DATE_PATTERN}),
    AfterValidator(_check_date),
]
Moment = Annotated[
    str,
    Field(json_schema_extra={"pattern": MOMENT_PATTERN}),
    AfterValidator(_check_moment),
]


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
Extent = Annotated[
    tuple[PictureShare, PictureShare],
    BeforeValidator(_as_tuple),
]
