"""Times publishing a procedure of 60 steps, then once more after a change of text, and its page.

Run by hand: ``python tests/benchmarks/bench_whole_publishing.py [STEPS]``. A film of
1280 × 720 is made, with a still and a clip of one second for each step. Bars: publishing
again after a change of text takes at most 0.15 of the first time; the work page's first
paint from disk within a second in headless Chromium; its script at most 60 kB.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import imageio_ffmpeg
from playwright.sync_api import sync_playwright

from author.contract import write_yaml
from author.contract.procedure_file import as_plain
from author.procedure.document import Procedure
from author.recording import facts_of
from author.tasks.publishing import Published, publish

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

OPTIONS = ("--no-sandbox", "--disable-gpu", "--disable-background-networking")
PAINTED = "performance.getEntriesByType('paint').map(e => [e.name, e.startTime])"


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def made(folder: Path, steps: int) -> Path:
    """Make the film and the procedure, and return the procedure's folder."""
    from bench_publishing import full_steps
    from publish import sample

    film = folder / "saw.mp4"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-f", "lavfi", "-i"]
    command += [f"testsrc2=s=1280x720:r=30:d={steps + 2},noise=alls=8:allf=t", "-f", "lavfi"]
    command += ["-i", f"anoisesrc=d={steps + 2}:c=pink:a=0.1", "-c:v", "libx264", "-preset"]
    command += ["veryfast", "-g", "250", "-bf", "3", "-pix_fmt", "yuv420p", "-c:a", "aac"]
    subprocess.run([*command, str(film)], check=True)
    facts = facts_of(film)
    recording = {
        "id": "saw", "file": film.name, "size": facts.size,
        "duration": f"{facts.duration:.6f}", "sha256": facts.sha256,
    }  # fmt: skip
    sections = full_steps(steps)
    for number, step in enumerate(sections[0]["steps"]):
        step.pop("not_filmed", None)
        step["still"] = {**step["still"], "recording": "saw", "at": f"{number}.500000"}
        step["clip"] = {
            "recording": "saw",
            "from": f"{number}.000000",
            "to": f"{number + 1}.000000",
        }
    document = sample.document(sections=sections, findings="none", recordings=[recording])
    job = folder / "job"
    job.mkdir()
    plain = as_plain(Procedure.model_validate(document))
    (job / "procedure.yaml").write_text(write_yaml(plain))
    return job


def timed(job: Path, to: Path) -> tuple[float, Published]:
    began = time.perf_counter()
    result = publish(job, to, draft=True)
    assert isinstance(result, Published)
    return time.perf_counter() - began, result


def first_paint(page: Path) -> float:
    """Return when the page was first painted in a new browser, in seconds."""
    program = next(filter(None, map(shutil.which, ("chromium", "google-chrome", "chrome"))))
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=list(OPTIONS))
        times = []
        for _ in range(5):
            context = browser.new_context(viewport={"width": 820, "height": 1180})
            opened = context.new_page()
            opened.goto(page.as_uri())
            opened.wait_for_timeout(500)
            paints = dict(opened.evaluate(PAINTED))
            times.append(paints["first-contentful-paint"] / 1000)
            context.close()
        browser.close()
    return sorted(times)[len(times) // 2]


def main() -> None:
    steps = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["REELWRIGHT_CACHE"] = f"{scratch}/cache"
        job, to = made(Path(scratch), steps), Path(scratch) / "out"
        first, _ = timed(job, to)
        file = job / "procedure.yaml"
        text = file.read_text()
        changed = text.replace("title: ", "title: Again, ", 1)
        assert changed != text
        file.write_text(changed)
        again, result = timed(job, to)
        same, _ = timed(job, to)
        say(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}; {steps} steps")
        say(f"published: {first:.1f} s; after a change of text: {again:.1f} s,")
        say(f"  {again / first:.3f} of it (bar 0.15); nothing changed: {same:.1f} s")
        say(f"  taken as they were: {', '.join(result.unchanged)}")
        peak = max(resource.getrusage(who).ru_maxrss / 1024 for who in (0, -1))
        say(f"most memory of one process: {peak:.0f} MB")
        page = to / "page" / "index.html"
        script = sum(f.stat().st_size for f in page.parent.glob("*.js"))
        say(f"page: first paint {first_paint(page):.2f} s (bar 1)")
        say(f"  script {script} bytes (bar 60000)")


if __name__ == "__main__":
    main()
