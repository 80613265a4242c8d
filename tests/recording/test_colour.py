"""Colours of stills and clips beside a conversion written straight from the standards."""

from __future__ import annotations

import av
import numpy as np
import pytest

from author.recording import FrameReader, decode_still, encode_still, export_clip, facts_of
from author.recording.high_range import lowered_still
from author.recording.stills import for_screen

from . import films

# Weights of red and blue in luma: ITU-R BT.601-7, BT.709-6 and BT.2020-2, each under the
# derivation of luma.
WEIGHTS = {
    "smpte170m": (0.299, 0.114),
    "bt470bg": (0.299, 0.114),
    "bt709": (0.2126, 0.0722),
    "bt2020nc": (0.2627, 0.0593),
}
NUMBERS = {"smpte170m": 6, "bt470bg": 5, "bt709": 1, "bt2020nc": 9}  # ITU-T H.273, table 4
PATCH, TILES = 32, 8
# Red, green and blue of the patches, shares of the whole.
COLOURS = np.array(
    [
        *[(v, v, v) for v in (0, 0.02, 0.18, 0.5, 0.9, 1)],
        *[(1, 0, 0), (0, 1, 0), (0, 0, 1), (0, 1, 1), (1, 0, 1), (1, 1, 0)],
        *[(0.78, 0.12, 0.16), (0.2, 0.6, 0.3), (0.94, 0.76, 0.65), (0.15, 0.25, 0.7)],
    ]
)


def coded(rgb, matrix, bits, full):
    """YCbCr code values of RGB shares.

    ITU-R BT.601-7, BT.709-6 and BT.2020-2 for the limited range: colour differences divided
    by twice one less the weight, 219 and 224 steps above 16 and 128, times two for each
    further bit. ITU-T H.273 (matrix coefficients, full range) for the other.
    """
    red, blue = WEIGHTS[matrix]
    luma = rgb @ np.array([red, 1 - red - blue, blue])
    cb = (rgb[:, 2] - luma) / (2 * (1 - blue))
    cr = (rgb[:, 0] - luma) / (2 * (1 - red))
    if full:
        top = 2**bits - 1
        values = np.stack([top * luma, top * cb + 2 ** (bits - 1), top * cr + 2 ** (bits - 1)], 1)
    else:
        step = 2 ** (bits - 8)
        values = step * np.stack([219 * luma + 16, 224 * cb + 128, 224 * cr + 128], 1)
        top = 2**bits - 1
    return np.clip(np.rint(values), 0, top).astype(int)


def shown(values, matrix, bits, full):
    """RGB from 0 to 255 of YCbCr code values: the same equations turned round."""
    red, blue = WEIGHTS[matrix]
    values = values.astype(float)
    if full:
        top = 2**bits - 1
        luma, (cb, cr) = values[:, 0] / top, (values[:, 1:].T - 2 ** (bits - 1)) / top
    else:
        step = 2 ** (bits - 8)
        luma = (values[:, 0] / step - 16) / 219
        cb, cr = (values[:, 1:].T / step - 128) / 224
    r, b = luma + 2 * (1 - red) * cr, luma + 2 * (1 - blue) * cb
    g = (luma - red * r - blue * b) / (1 - red - blue)
    return np.clip(np.stack([r, g, b], 1), 0, 1) * 255


def patches(plane_values, scale):
    """A plane of flat squares, TILES in a row."""
    rows = np.asarray(plane_values).reshape(-1, TILES)
    return np.kron(rows, np.ones((PATCH // scale, PATCH // scale), int))


def film_of(path, values, bits, tags, codec, pixel_format):
    """A film without loss of three frames with these code values in flat squares."""
    planes = [patches(values[:, n], 2 if n else 1) for n in range(3)]
    kind = np.uint8 if bits == 8 else np.dtype("<u2")
    raw = path.with_suffix(".yuv")
    raw.write_bytes(b"".join(p.astype(kind).tobytes() for p in planes) * 3)
    height, width = planes[0].shape
    films.ffmpeg(
        *("-f", "rawvideo", "-pix_fmt", pixel_format, "-s", f"{width}x{height}", "-r", "30"),
        *("-i", raw, "-vf", f"setparams={tags}", *codec, path),
    )
    return path


LOSSLESS = {
    8: ("-c:v", "libx264", "-qp", "0"),
    10: ("-c:v", "libx265", "-x265-params", "log-level=error:lossless=1"),
}
CASES = [
    *[("bt709", bits, full) for bits in (8, 10) for full in (False, True)],
    ("smpte170m", 8, False),
    ("smpte170m", 8, True),
    ("bt470bg", 8, False),
    ("bt2020nc", 10, False),
    ("bt2020nc", 10, True),
]


def squares(picture):
    """Mean of the middle of each square: squares × channels."""
    height, width = picture.shape[:2]
    grid = picture.reshape(height // PATCH, PATCH, width // PATCH, PATCH, -1)
    return grid[:, 8:-8, :, 8:-8].astype(float).mean((1, 3)).reshape(-1, picture.shape[2])


def planes_of(frame):
    """Height × width × 3 code values of a 4:2:0 frame, the colour planes made larger."""
    data = frame.to_ndarray()
    height, width = frame.height, frame.width
    small = [p.reshape(height // 2, width // 2) for p in np.split(data[height:].ravel(), 2)]
    return np.stack([data[:height], *(np.kron(p, np.ones((2, 2), int)) for p in small)], 2)


@pytest.mark.parametrize(("matrix", "bits", "full"), CASES)
def test_stills_and_clips_have_the_colours_of_the_standard(tmp_path, matrix, bits, full):
    values = coded(COLOURS, matrix, bits, full)
    tags = f"colorspace={matrix}:range={'pc' if full else 'tv'}"
    pixel_format = "yuv420p" if bits == 8 else "yuv420p10le"
    path = film_of(tmp_path / "film.mp4", values, bits, tags, LOSSLESS[bits], pixel_format)
    facts = facts_of(path)
    with FrameReader(path, facts) as reader:
        pixels = reader.frame(1).pixels
    wanted = shown(values, matrix, bits, full)
    assert abs(squares(pixels) - wanted).max() <= 1.5
    assert abs(squares(decode_still(encode_still(pixels, "png"))) - wanted).max() <= 1.5
    assert abs(squares(decode_still(encode_still(pixels, "jpeg"))) - wanted).max() <= 2.5
    out = tmp_path / "clip.mp4"
    export_clip(path, facts, 0, 3, out)
    with av.open(str(out)) as clip:
        frame = next(clip.decode(video=0))
    assert (frame.colorspace, frame.color_range) == (NUMBERS[matrix], 1)
    found = squares(planes_of(frame))
    # The coder of clips is not without loss: flat areas within two code values.
    assert abs(found - coded(COLOURS, matrix, 8, full=False)).max() <= 2


def told(path):
    """Matrix, primaries and transfer by the numbers of ITU-T H.273."""
    with av.open(str(path)) as film:
        stream = film.streams.video[0].codec_context
        return stream.colorspace, stream.color_primaries, stream.color_trc


@pytest.mark.parametrize(
    ("height", "tags", "wanted"),
    [
        (64, "", (6, 6, 6)),  # a small picture that names nothing is BT.601, as players take it
        (720, "", (1, 1, 1)),
        (64, "colorspace=bt709", (1, 1, 1)),
        (64, "colorspace=bt470bg", (5, 5, 6)),
        (64, "colorspace=smpte170m:color_primaries=bt709:color_trc=bt709", (6, 1, 1)),
        (64, "colorspace=bt709:color_primaries=smpte432:color_trc=iec61966-2-1", (1, 12, 13)),
        (64, "colorspace=bt2020nc", (9, 9, 14)),
    ],
)
def test_clips_name_their_colours(tmp_path, height, tags, wanted):
    path, out = tmp_path / "film.mp4", tmp_path / "clip.mp4"
    chain = ["-vf", f"setparams={tags}"] if tags else []
    picture = f"color=c=0xC81E28:s=64x{height}:d=0.2"
    films.ffmpeg("-f", "lavfi", "-i", picture, *chain, "-c:v", "libx264", path)
    export_clip(path, facts_of(path), 0, 3, out)
    assert told(out) == wanted


def light_of_hlg(value):
    """cd/m² of a grey on a screen of 1000 cd/m²: ITU-R BT.2100-2, table 5, HLG EOTF."""
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    scene = value**2 / 3 if value <= 0.5 else (np.exp((value - c) / a) + b) / 12
    return 1000 * scene**1.2


def light_of_pq(value):
    """cd/m²: ITU-R BT.2100-2, table 4, PQ EOTF."""
    m1, m2, c1, c2, c3 = 2610 / 16384, 2523 / 32, 3424 / 4096, 2413 / 128, 2392 / 128
    power = value ** (1 / m2)
    return 10_000 * (max(power - c1, 0) / (c2 - c3 * power)) ** (1 / m1)


HIGH_RANGE = "colorspace=bt2020nc:range=tv:color_trc="


@pytest.mark.parametrize("primaries", ["bt2020", "unknown"])
@pytest.mark.parametrize("transfer", ["arib-std-b67", "smpte2084"])
def test_stills_and_clips_of_high_dynamic_range_agree(tmp_path, transfer, primaries):
    """One is made by ffmpeg's filters, the other by our own code from the standards."""
    rgb = np.concatenate([0.2 + 0.3 * COLOURS, 0.1 + 0.2 * COLOURS])
    values = coded(rgb, "bt2020nc", 10, full=False)
    tags = f"{HIGH_RANGE}{transfer}:color_primaries={primaries}"
    path = film_of(tmp_path / "film.mp4", values, 10, tags, LOSSLESS[10], "yuv420p10le")
    facts = facts_of(path)
    with FrameReader(path, facts) as reader:
        still = for_screen(path)(reader.frame(1).pixels)
    out = tmp_path / "clip.mp4"
    export_clip(path, facts, 0, 3, out)
    with av.open(str(out)) as clip:
        found = squares(planes_of(next(clip.decode(video=0))))
    apart = abs(squares(still) - shown(found, "bt709", 8, full=False))
    # Near black one step of the film's value is many of the screen's.
    assert apart.mean() <= 1.5
    assert apart.max() <= 8


def test_stills_of_ordinary_films_are_left_alone(film):
    pixels = films.draw(1, 64, 48)
    assert for_screen(film("b_frames"))(pixels) is pixels


@pytest.mark.parametrize(
    ("transfer", "light"), [("arib-std-b67", light_of_hlg), ("smpte2084", light_of_pq)]
)
def test_a_clip_of_high_dynamic_range_suits_an_ordinary_screen(tmp_path, transfer, light):
    """Shadows and middle greys keep their light; a page stays below the brightest spark.

    A white page has 203 cd/m² and a grey card 26 (ITU-R BT.2408-4, table 1); an ordinary
    screen follows ITU-R BT.1886 with a power of 2.4.
    """
    greys = np.linspace(0, 1, 16)
    values = coded(np.repeat(greys[:, None], 3, 1), "bt2020nc", 10, full=False)
    tags = f"{HIGH_RANGE}{transfer}:color_primaries=bt2020"
    path = film_of(tmp_path / "film.mp4", values, 10, tags, LOSSLESS[10], "yuv420p10le")
    out = tmp_path / "clip.mp4"
    export_clip(path, facts_of(path), 0, 3, out)
    assert told(out) == (1, 1, 1)
    with av.open(str(out)) as clip:
        found = squares(planes_of(next(clip.decode(video=0))))
    assert abs(found[:, 1:] - 128).max() <= 2
    luma = (found[:, 0] - 16) / 219
    lights = np.array([light(grey) for grey in greys]) / 203
    dark = lights < 0.3
    assert dark.sum() >= 4
    assert abs(luma[dark] - lights[dark] ** (1 / 2.4)).max() <= 0.012
    assert (np.diff(luma) >= -0.01).all()
    page = np.interp(1.0, lights, luma)
    assert 0.75 <= page <= 0.95
    bytes_of_greys = np.rint(255 * greys).astype(np.uint8)[None, :, None].repeat(3, 2)
    still = lowered_still(bytes_of_greys, transfer)[0] / 255
    assert abs(still - np.minimum(luma, 1)[:, None]).max() <= 0.02
