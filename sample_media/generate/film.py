"""Render the frames (in processes) and write the film with its exact times."""

from __future__ import annotations

import struct
from collections import deque
from collections.abc import Iterator
from fractions import Fraction
from multiprocessing import get_context
from multiprocessing.pool import Pool
from pathlib import Path

import av
import numpy as np

from generate import plan as planning
from generate.camera import jolt_at
from generate.plan import Plan, Shot
from generate.scene import Painter
from generate.speech import RATE

FLASH_FRAMES = 3
CHUNK = 24
CRF = {"saw": "29.5", "phone": "29.5"}

_painters: dict[tuple[str, str], Painter] = {}


def shot_length(plan: Plan, shot: Shot) -> float:
    """Return a shot's length in seconds."""
    return plan.time(shot.end) - plan.time(shot.first)


def flash_start(shot: Shot) -> int | None:
    """Return the first frame of the shot's flash, if it has one."""
    flash = shot.scene.view.flash
    return None if flash is None else shot.first + round(flash * (shot.end - shot.first))


def moment(plan: Plan, shot: Shot, frame: int) -> float:
    """Return the share of the shot's time at which a frame stands."""
    start = plan.time(shot.first)
    return (plan.time(frame) - start) / (plan.time(shot.end) - start)


def is_blurred(plan: Plan, shot: Shot, frame: int) -> bool:
    """Say whether the camera's movement blurs a frame."""
    u = moment(plan, shot, frame)
    return jolt_at(shot.scene.view.jolts, u, shot_length(plan, shot))[2] > 0


def _paint(job: tuple) -> list[np.ndarray]:
    """Draw a run of frames of one shot (in a worker)."""
    name, index, length, frames = job
    film = planning.SAW if name == "saw" else planning.PHONE
    scene = film.scenes[index]
    key = (name, scene.id)
    if key not in _painters:
        _painters.clear()
        _painters[key] = Painter(scene, film.width, film.height, index + 3, length)
    pictures = []
    for number, u, flash in frames:
        picture, _ = _painters[key].draw(u, number, flash)
        pictures.append(np.ascontiguousarray(np.rot90(picture)) if film.rotation else picture)
    return pictures


def _jobs(plan: Plan) -> Iterator[tuple]:
    """Yield the runs of frames to be drawn, in order."""
    for index, shot in enumerate(plan.shots):
        flash = flash_start(shot)
        for start in range(shot.first, shot.end, CHUNK):
            frames = []
            for n in range(start, min(start + CHUNK, shot.end)):
                lit = n - flash if flash is not None and 0 <= n - flash < FLASH_FRAMES else None
                frames.append((n, moment(plan, shot, n), lit))
            yield plan.film.name, index, shot_length(plan, shot), frames


def points(plan: Plan, index: int, frame: int) -> dict[str, tuple[float, float]]:
    """Return the named points of a shot at a frame, as shares of the shown picture."""
    film, shot = plan.film, plan.shots[index]
    painter = Painter(shot.scene, film.width, film.height, index + 3, shot_length(plan, shot))
    _, found = painter.draw(moment(plan, shot, frame), frame)
    return {name: (x / film.width, y / film.height) for name, (x, y) in found.items()}


def _streams(out: av.container.OutputContainer, plan: Plan) -> tuple:
    """Add the picture and sound streams."""
    film = plan.film
    video = out.add_stream("libx264", rate=Fraction(30000, 1001))
    turned = bool(film.rotation)
    video.width, video.height = (film.height, film.width) if turned else (film.width, film.height)
    video.pix_fmt = "yuv420p"
    video.time_base = video.codec_context.time_base = film.time_base
    video.codec_context.gop_size = 250
    video.codec_context.max_b_frames = 3
    video.codec_context.color_range = 1
    video.codec_context.colorspace = 1
    video.codec_context.color_primaries = 1
    video.codec_context.color_trc = 1
    video.options = {
        "crf": CRF[film.name],
        "preset": "fast",
        "x264-params": "threads=2:lookahead-threads=1:b-adapt=2:aq-mode=1:psy-rd=0.8,0.1",
    }
    audio = out.add_stream("aac", rate=RATE)
    audio.bit_rate = 64000
    audio.codec_context.layout = "mono"
    return video, audio


def write(plan: Plan, path: Path, workers: int = 2) -> None:
    """Render and encode a film."""
    with av.open(str(path), "w", options={"movflags": "+faststart"}) as out:
        video, audio = _streams(out, plan)
        sound = _sound_packets(audio, plan.sound)
        waiting = next(sound, None)
        with get_context("spawn").Pool(workers) as pool:
            for number, picture in enumerate(_pictures(pool, plan)):
                frame = av.VideoFrame.from_ndarray(picture, "rgb24").reformat(
                    format="yuv420p", dst_colorspace="ITU709", dst_color_range="MPEG"
                )
                frame.pts, frame.time_base = plan.ticks[number], plan.film.time_base
                following = (
                    plan.ticks[number + 1] if number + 1 < len(plan.ticks) else plan.end_tick
                )
                frame.duration = following - plan.ticks[number]
                out.mux(video.encode(frame))
                while waiting is not None and waiting.pts * waiting.time_base < plan.time(number):
                    out.mux(waiting)
                    waiting = next(sound, None)
        out.mux(video.encode(None))
        while waiting is not None:
            out.mux(waiting)
            waiting = next(sound, None)
    if plan.film.rotation:
        turn(path, plan.film.height)


def _pictures(pool: Pool, plan: Plan) -> Iterator[np.ndarray]:
    """Yield the frames in order as the workers finish them."""
    waiting: deque = deque()
    for job in _jobs(plan):
        waiting.append(pool.apply_async(_paint, (job,)))
        if len(waiting) > 4:
            yield from waiting.popleft().get()
    while waiting:
        yield from waiting.popleft().get()


def _sound_packets(stream: av.AudioStream, sound: np.ndarray) -> Iterator[av.Packet]:
    """Yield the sound's packets."""
    size = 1024
    for first in range(0, len(sound), size):
        part = sound[first : first + size].reshape(1, -1).astype(np.float32)
        frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(part), "fltp", "mono")
        frame.sample_rate, frame.pts, frame.time_base = RATE, first, Fraction(1, RATE)
        yield from stream.encode(frame)
    yield from stream.encode(None)


def turn(path: Path, stored_height: int) -> None:
    """Write a quarter turn clockwise into the display matrix of the picture's track header.

    The stored picture is the shown one turned counter-clockwise; players turn it back.
    """
    data = bytearray(path.read_bytes())
    one, place = 1 << 16, 0
    width = stored_height << 16
    while (place := data.find(b"tkhd", place + 1)) > 0:
        body = place + 4
        matrix = body + (52 if data[body] == 1 else 40)
        if struct.unpack_from(">I", data, matrix + 36)[0] == width:
            struct.pack_into(">9i", data, matrix, 0, one, 0, -one, 0, 0, 720 << 16, 0, 1 << 30)
            path.write_bytes(data)
            return
    raise ValueError(f"{path}: no track header with a picture {stored_height} wide")
