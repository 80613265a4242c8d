"""Recordings: what a film is, its exact frames, stills and clips.

The only package that knows a media library. A recording's clock starts at the
container's start; marks are seconds with six decimals and mean the frame whose start
is nearest; spans are half open slices of frame indices. Rotation, mirroring, sample
aspect and edit lists are applied before anybody sees a frame. Decoding runs in a
process of its own.
"""

from author.recording.cache import folder as cache_folder
from author.recording.clips import export_clip
from author.recording.describing import Description, describe, facts_of, sha256_of
from author.recording.ffmpeg import ffmpeg_version
from author.recording.index import Chapter, Sound
from author.recording.picture import Pixels
from author.recording.reader import Frame, FrameReader
from author.recording.spans import Mask
from author.recording.stills import decode_still, encode_still, hide

__all__ = [
    "Chapter",
    "Description",
    "Frame",
    "FrameReader",
    "Mask",
    "Pixels",
    "Sound",
    "cache_folder",
    "decode_still",
    "describe",
    "encode_still",
    "export_clip",
    "facts_of",
    "ffmpeg_version",
    "hide",
    "sha256_of",
]
