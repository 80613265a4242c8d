"""Stills: the same bytes, the right colours, the right way up."""

from __future__ import annotations

import numpy as np
import pytest

from author.errors import InputError
from author.procedure.steps import Callout
from author.publish.drawing import StillPicture, draw_callouts
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
        (None, "tv", 480),
        (None, "tv", 720),
        (None, "pc", 480),
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


CALLOUTS = [
    Callout.model_validate(each)
    for each in (
        {"shape": "arrow", "at": ["0.3", "0.4"], "tail": ["0.12", "0.15"], "text": "Nut, 17 mm"},
        {"shape": "ring", "at": ["0.6", "0.35"], "text": "Look at the seal"},
        {"shape": "box", "at": ["0.75", "0.75"], "size": ["0.2", "0.2"]},
        {"shape": "leader", "at": ["0.4", "0.7"], "tail": ["0.2", "0.85"]},
    )
]
MARK = np.array((0x9C, 0x00, 0x59))


def with_callouts(width, height):
    """A grey still with callouts: height × width × 3."""
    grey = np.full((height, width, 3), 128, np.uint8)
    still = StillPicture(encode_still(grey, "jpeg"), width, height)
    return decode_still(draw_callouts(still, CALLOUTS)).astype(int)


@pytest.mark.parametrize("size", [(320, 180), (640, 360), (1920, 1080), (3840, 2160)])
def test_callouts_grow_with_the_picture_and_stay_crisp(size):
    """The same share is covered at every size, and edges are never wider than two pixels."""
    picture = with_callouts(*size)
    assert picture.shape[:2] == size[::-1]
    drawn = abs(picture - 128).max(2) > 60
    reference = abs(with_callouts(1280, 720) - 128).max(2) > 60
    assert abs(drawn.mean() / reference.mean() - 1) < 0.03
    assert (abs(picture - MARK).max(2) < 3).sum() > 0.4 * drawn.sum()
    # Along a row through the upright side of the box: grey, edge, white, mark, white, grey.
    width, height = size
    row = picture[height * 3 // 4, int(0.8 * width) : int(0.9 * width)]
    pure = [abs(row - colour).max(1) < 12 for colour in (MARK, 255, 128)]
    assert all(each.any() for each in pure)
    assert (~np.any(pure, 0)).sum() <= 2 * 4
