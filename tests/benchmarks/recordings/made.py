"""Films for the benchmarks: five minutes of noisy 1080p30, and hours that are copies of it."""

from __future__ import annotations

import subprocess
from pathlib import Path

import imageio_ffmpeg


def ffmpeg(*arguments: str | Path) -> None:
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-nostdin", "-y"]
    subprocess.run([*command, *map(str, arguments)], check=True)


def five_minutes(folder: Path, size: str = "1920x1080", seconds: int = 300) -> Path:
    """H.264, 10 Mbit/s, a key frame every 250 frames, B-frames, noise; made once a folder."""
    path = folder / f"film-{size}-{seconds}.mp4"
    if not path.exists():
        picture = f"testsrc2=s={size}:r=30:d={seconds},noise=alls=12:allf=t"
        sound = f"anoisesrc=d={seconds}:c=pink:a=0.1,aformat=channel_layouts=stereo"
        part = path.with_suffix(".part.mp4")
        ffmpeg(
            *("-f", "lavfi", "-i", picture, "-f", "lavfi", "-i", sound),
            *("-c:v", "libx264", "-preset", "veryfast", "-b:v", "10M", "-maxrate", "14M"),
            *("-bufsize", "20M", "-g", "250", "-keyint_min", "250", "-sc_threshold", "0"),
            *("-bf", "3", "-pix_fmt", "yuv420p", "-c:a", "aac", "-b:a", "128k"),
            *("-movflags", "+faststart", part),
        )
        part.rename(path)
    return path


def repeated(path: Path, times: int) -> Path:
    """The film ``times`` over, its packets copied."""
    out = path.with_name(f"{path.stem}-x{times}.mp4")
    if not out.exists():
        part = out.with_suffix(".part.mp4")
        ffmpeg(
            *("-stream_loop", str(times - 1), "-i", path, "-c", "copy"),
            *("-movflags", "+faststart", part),
        )
        part.rename(out)
    return out
