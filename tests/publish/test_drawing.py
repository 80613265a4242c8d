"""Callouts on pictures, and the band of a graded clip."""

import cv2
import numpy as np
import pytest

from author.errors import InputError
from author.procedure.steps import Callout
from author.publish.drawing import draw_callouts, grade_banner
from publish import sample
from publish.sample_steps import TAKE_OFF

CALLOUTS = [Callout.model_validate(c) for step in TAKE_OFF for c in step["still"]["callouts"]]


def decoded(coded: bytes) -> np.ndarray:
    picture = cv2.imdecode(np.frombuffer(coded, np.uint8), cv2.IMREAD_UNCHANGED)
    assert picture is not None
    return picture.astype(int)


@pytest.mark.parametrize("size", [sample.LANDSCAPE, sample.PORTRAIT])
def test_a_still_keeps_its_size_and_what_is_not_drawn_on(size):
    still = sample.picture(size, 1)
    before, after = decoded(still.jpeg), decoded(draw_callouts(still, CALLOUTS))
    assert after.shape[:2] == (size[1], size[0])
    changed = np.abs(after[..., :3] - before).max(2) > 8
    assert 0.01 < changed.mean() < 0.3
    assert not changed[: size[1] // 20, size[0] // 2 :].any()


@pytest.mark.parametrize("bright", [False, True])
@pytest.mark.parametrize("shape", ["arrow", "ring", "box", "label", "leader"])
def test_every_shape_has_dark_strokes_in_pale_edges(shape, bright):
    still = sample.picture(sample.LANDSCAPE, 2, bright)
    callout = Callout.model_validate({"shape": shape, "at": ["0.5", "0.5"], "text": "nut"})
    before, after = decoded(still.jpeg), decoded(draw_callouts(still, [callout]))[..., :3]
    mark = np.abs(after - (0x59, 0x00, 0x9C)).max(2) < 3
    edge = (after > 250).all(2) & ~(before > 250).all(2)
    assert mark.sum() > 300
    assert edge.sum() > 100


def test_no_callout_leaves_the_picture_alone():
    still = sample.picture(sample.LANDSCAPE, 3)
    after = decoded(draw_callouts(still, []))[..., :3]
    assert np.abs(after - decoded(still.jpeg)).mean() < 1


def test_drawing_is_reproducible():
    still = sample.picture(sample.LANDSCAPE, 4)
    assert draw_callouts(still, CALLOUTS) == draw_callouts(still, CALLOUTS)


@pytest.mark.parametrize("size", [(1280, 720), (720, 1280), (640, 360), (1920, 1080), (321, 243)])
@pytest.mark.parametrize("grade", ["tolerated_here", "do_not_copy"])
def test_a_band_leaves_the_picture_clear(size, grade):
    band = decoded(grade_banner(*size, grade, "the wheel is not strapped in this take"))
    assert band.shape == (size[1], size[0], 4)
    alpha = band[..., 3]
    assert (alpha[int(size[1] * 0.26) + 1 :] == 0).all()
    assert (alpha[0] == 255).all()


def test_a_long_reason_is_set_smaller():
    band = decoded(
        grade_banner(1280, 720, "do_not_copy", "no second pair of hands was there " * 11)
    )
    assert (band[int(720 * 0.26) + 1 :, :, 3] == 0).all()


def test_markup_in_a_callout_is_text():
    still = sample.picture(sample.LANDSCAPE, 5)
    callout = Callout.model_validate(
        {"shape": "label", "at": ["0.5", "0.5"], "text": "#panic() $x$ *a* <b> \\ @c"}
    )
    assert decoded(draw_callouts(still, [callout])).shape[1] == 1280


def test_missing_characters_are_refused():
    callout = Callout.model_validate({"shape": "label", "at": ["0.5", "0.5"], "text": "日"})
    with pytest.raises(InputError, match="step 2"):
        draw_callouts(sample.picture(sample.LANDSCAPE), [callout], place="step 2 (nut)")
    with pytest.raises(InputError, match="U\\+65E5"):
        grade_banner(640, 360, "do_not_copy", "日")
