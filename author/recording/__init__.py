"""Recordings: what a film is, its exact frames, what is seen and heard in it, stills and clips.

The only package that knows a media library. A recording's clock starts at the
container's start; marks are seconds with six decimals and mean the frame whose start
is nearest; spans are half open slices of frame indices. Rotation, mirroring, sample
aspect and edit lists are applied before anybody sees a frame. Decoding runs in a
process of its own.


Its parts are loaded when they are first asked for: the media libraries are large, and what
only reads a document does not need them.
"""

import os
from importlib import import_module
from typing import TYPE_CHECKING, Any

# Nothing here multiplies large matrices, and numpy's threads for that spin while they wait:
# they cost each process, and each decoding process, a third of its start. Said before numpy
# is loaded, and heard by the processes that are started.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

if TYPE_CHECKING:
    from author.recording.analyses import Analyses, analyses_of, joined_analyses
    from author.recording.chapters import Joined, JoinedReader, in_order, join
    from author.recording.clips import ClipMade, ClipOrder, export_clip, export_clips
    from author.recording.describing import Description, describe, facts_of, quick_facts_of
    from author.recording.ffmpeg import ffmpeg_version
    from author.recording.index import Chapter, Sound
    from author.recording.knowing import sha256_of
    from author.recording.offsets import Offset
    from author.recording.picture import Pixels
    from author.recording.reader import Frame, FrameReader
    from author.recording.spans import Mask
    from author.recording.stills import decode_still, encode_still, for_screen, hide
    from author.recording.together import offsets_of

__all__ = [
    "Analyses",
    "Chapter",
    "ClipMade",
    "ClipOrder",
    "Description",
    "Frame",
    "FrameReader",
    "Joined",
    "JoinedReader",
    "Mask",
    "Offset",
    "Pixels",
    "Sound",
    "analyses_of",
    "decode_still",
    "describe",
    "encode_still",
    "export_clip",
    "export_clips",
    "facts_of",
    "ffmpeg_version",
    "for_screen",
    "hide",
    "in_order",
    "join",
    "joined_analyses",
    "offsets_of",
    "quick_facts_of",
    "sha256_of",
]

_MODULES = {
    "Analyses": "analyses",
    "Chapter": "index",
    "ClipMade": "clips",
    "ClipOrder": "clips",
    "Description": "describing",
    "Frame": "reader",
    "FrameReader": "reader",
    "Joined": "chapters",
    "JoinedReader": "chapters",
    "Mask": "spans",
    "Offset": "offsets",
    "Pixels": "picture",
    "Sound": "index",
    "analyses_of": "analyses",
    "decode_still": "stills",
    "describe": "describing",
    "encode_still": "stills",
    "export_clip": "clips",
    "export_clips": "clips",
    "facts_of": "describing",
    "ffmpeg_version": "ffmpeg",
    "for_screen": "stills",
    "hide": "stills",
    "in_order": "chapters",
    "join": "chapters",
    "joined_analyses": "analyses",
    "offsets_of": "together",
    "quick_facts_of": "describing",
    "sha256_of": "knowing",
}


def __getattr__(name: str) -> Any:
    """Load the module a name of the package comes from.

    Raises:
        AttributeError: the package has no such name.
    """
    if name not in _MODULES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module = import_module(f"{__name__}.{_MODULES[name]}")
    return getattr(module, name)
