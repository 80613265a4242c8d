"""Stills: the same bytes, the right colours, the right way up."""

from __future__ import annotations

import numpy as np
import pytest

from author.errors import InputError
from author.recording import FrameReader, decode_still, encode_still, facts_of

from . import films
from .conftest import MAKERS


def first_frame(path):
    with FrameReader(path, facts_of(path)) as reader:
        return reader.frame(0).pixels


def test_png_keeps_every_pixel_and_jpeg_nearly():
    picture = films.draw(77, 61, 43)
    assert (decode_still(encode_still(picture, "png")) == picture).all()
    jpeg = decode_still(encode_still(films.draw(77, 640, 480), "jpeg"))
    assert abs(jpeg.astype(int) - films.draw(77, 640, 480)).mean() < 8
    for form in ("png", "jpeg"):
        assert encode_still(picture, form) == encode_still(picture.copy(), form)


def test_a_broken_picture_is_an_input_error():
    for data in (b"", b"no picture"):
        with pytest.raises(InputError):
            decode_still(data)


@pytest.mark.parametrize(
    ("matrix", "spread", "height"),
    [
        ("bt709", "tv", 480),
        ("smpte170m", "tv", 720),
        (None, "tv", 480),
        (None, "tv", 720),
        (None, "pc", 480),
        ("bt709", "pc", 720),
    ],
)
def test_colours_are_those_that_went_in(tmp_path, matrix, spread, height):
    """Pure colours survive for every matrix, range, and the guess where none is named."""
    used = matrix or ("bt709" if height >= 720 else "smpte170m")
    path = tmp_path / "colour.mp4"
    tags = ["-colorspace", matrix] if matrix else []
    chain = f"scale=out_color_matrix={used}:out_range={spread},format=yuv444p"
    chain += f",setparams=colorspace={matrix or 'unknown'}:range={spread}"
    source = f"color=c=0xC81E28:s=160x{height}:d=0.2"
    films.ffmpeg(
        *("-f", "lavfi", "-i", source, "-vf", chain, "-c:v", "libx264", "-qp", "0"),
        *(*tags, "-color_range", spread, path),
    )
    middle = first_frame(path)[height // 2, 80].astype(int)
    assert abs(middle - np.array([0xC8, 0x1E, 0x28])).max() <= 3


@pytest.mark.parametrize("name", ["right", "over", "left", "mirror", "flip", "mirror_right"])
def test_turned_as_a_player_turns_it(film, tmp_path, name):
    """ffmpeg's own turning is the second opinion."""
    assert name in MAKERS
    out = tmp_path / "reference.png"
    films.ffmpeg("-i", film(name), "-frames:v", "1", out)
    reference = decode_still(out.read_bytes()).astype(int)
    assert abs(first_frame(film(name)).astype(int) - reference).mean() < 6
