"""Make the sample recordings: `python -m generate` in sample_media, or a scene as stills."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
if str(HERE.parent) not in sys.path:
    sys.path.insert(0, str(HERE.parent))


def stills(folder: Path, wanted: list[str], shares: list[float]) -> None:
    """Write stills of scenes, to look at while drawing."""
    import cv2

    from generate.plan import PHONE, SAW
    from generate.scene import Painter

    folder.mkdir(parents=True, exist_ok=True)
    for film in (SAW, PHONE):
        for index, scene in enumerate(film.scenes):
            if wanted and scene.id not in wanted:
                continue
            painter = Painter(scene, film.width, film.height, index + 3, 6.0)
            for share in shares or [scene.best]:
                picture, _ = painter.draw(share, index)
                name = folder / f"{film.name}_{index + 1:02}_{scene.id}_{round(share * 100):02}.png"
                cv2.imwrite(str(name), picture[:, :, ::-1])


def films(folder: Path, names: list[str]) -> None:
    """Write the films, their captions and the manifest."""
    from generate import captions, film, manifest
    from generate.plan import PHONE, SAW, lay_out

    entries = []
    for one in (SAW, PHONE):
        plan = lay_out(one)
        path = folder / f"{one.name}.mp4"
        if one.name in names:
            part = path.with_name(f"{one.name}.part.mp4")
            film.write(plan, part)
            part.replace(path)
        captions.write(folder, one.name, plan.captions)
        entries.append(manifest.entry(plan, path))
    manifest.write(folder, entries)


def main() -> None:
    """Read the arguments and do what they ask."""
    parser = argparse.ArgumentParser(prog="generate", description=__doc__)
    parser.add_argument("--stills", type=Path, help="write stills of scenes here, no films")
    parser.add_argument("--scene", action="append", default=[], help="only this scene's stills")
    parser.add_argument("--at", action="append", type=float, default=[], help="shares 0..1")
    parser.add_argument("--film", action="append", choices=["saw", "phone"], help="only this film")
    parser.add_argument("--out", type=Path, default=HERE.parent, help="folder of the films")
    given = parser.parse_args()
    if given.stills:
        stills(given.stills, given.scene, given.at)
    else:
        films(given.out, given.film or ["saw", "phone"])


if __name__ == "__main__":
    main()
