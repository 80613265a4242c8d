"""Open a film safely, and say in one sentence why one cannot be opened."""

from __future__ import annotations

import errno
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from author.errors import InputError, MachineError

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.video.stream import VideoStream

FORMATS = (
    "mov,mp4,matroska,webm,mpegts,mpeg,avi,asf,flv,mxf,ogg,ivf,nut,dv,wtv,gif,"
    "h264,hevc,obu,m4v,mpegvideo,mjpeg,yuv4mpegpipe,rm"
)
"""Containers that hold a film of their own; playlists and scripts that name other files do not."""

_NO_NAME = (errno.ENAMETOOLONG, errno.ELOOP, errno.EINVAL)
_REMEDY = "Give a video file as the camera wrote it, such as MP4, MOV, MKV, AVI or MPEG-TS"


def check_file(path: Path) -> None:
    """Raise unless ``path`` is a file with something in it that can be read.

    Raises:
        InputError: missing, a folder, a device, or empty.
        MachineError: it is there and the system will not let it be read.
    """
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise InputError("is a folder, not a recording", remedy=_REMEDY, file=path)
        if not stat.S_ISREG(mode):  # a pipe or a device may never come to an end
            raise InputError("is not a file but a device", remedy=_REMEDY, file=path)
        with path.open("rb") as stream:
            if not stream.read(1):
                raise InputError(
                    "is empty", remedy="Copy the recording from the camera again", file=path
                )
    except (FileNotFoundError, NotADirectoryError):
        raise InputError("there is no such file", remedy="Check the path", file=path) from None
    except OSError as error:
        if error.errno in _NO_NAME:
            raise _misnamed(path) from None
        raise MachineError(
            f"cannot be read ({error.strerror})",
            remedy="Check the permissions of the file and that the disk is connected",
            file=path,
        ) from None
    except ValueError:
        raise _misnamed(path) from None


def _misnamed(path: Path) -> InputError:
    return InputError("is not a name a file can have", remedy="Check the path", file=path)


def url_of(path: Path) -> str:
    """Return the path in the form that no media library takes for an option or a pattern."""
    return f"file:{path.absolute()}"


@contextmanager
def opened(path: Path) -> Iterator[tuple[InputContainer, VideoStream]]:
    """Open a film and choose its picture stream.

    Yields:
        The container and the first stream of moving pictures that has a decoder.

    Raises:
        InputError: it is no film, holds no pictures, is encrypted or has no decoder.
        MachineError: reading failed.
    """
    import av

    check_file(path)
    try:
        container = av.open(
            url_of(path),
            metadata_errors="replace",
            options={"protocol_whitelist": "file", "format_whitelist": FORMATS},
        )
    except (av.error.MemoryError, av.error.PermissionError, av.error.OSError) as error:
        raise MachineError(f"cannot be read ({error.strerror})", file=path) from None
    except (av.FFmpegError, ValueError):
        check_file(path)  # it may have gone meanwhile
        raise _unreadable(path) from None
    with container:
        yield container, _pictures(container, path)


def _unreadable(path: Path) -> InputError:
    with path.open("rb") as stream:
        head = stream.read(64)
    if head[4:8] in (b"ftyp", b"mdat", b"wide", b"free"):
        return InputError(
            "was cut off before the camera wrote its list of frames, so no frame can be found",
            remedy="Copy it from the camera again, or let the camera repair it",
            file=path,
        )
    return InputError("is not a video file that can be read", remedy=_REMEDY, file=path)


def _pictures(container: InputContainer, path: Path) -> VideoStream:
    import av

    films = [
        each
        for each in container.streams.video
        if not each.disposition & av.stream.Disposition.attached_pic
    ]
    if not films:
        raise InputError("holds no moving pictures", remedy=_REMEDY, file=path)
    for stream in films:
        if stream.codec_context is not None:  # a stream without a decoder has none
            return stream
    raise InputError(
        "is coded in a way that cannot be decoded here",
        remedy="Convert it to H.264 in an MP4 file",
        file=path,
    )
