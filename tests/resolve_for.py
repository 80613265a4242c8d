"""Asks pip whether every dependency has a wheel for another system; installs nothing."""

import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def main(platform: str) -> int:
    """Return pip's exit code for the dependencies on a platform, and print one line."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    with tempfile.TemporaryDirectory() as target:
        done = subprocess.run(
            [
                *(sys.executable, "-m", "pip", "install", "--dry-run", "--quiet"),
                *("--disable-pip-version-check", "--ignore-installed", "--target", target),
                *("--platform", platform, "--python-version", "3.12"),
                *("--implementation", "cp", "--only-binary", ":all:"),
                *project["dependencies"],
            ],
            check=False,
            capture_output=True,
            text=True,
        )
    said = "resolved" if done.returncode == 0 else f"NOT resolved\n{done.stderr}"
    sys.stdout.write(f"{platform}: {said}\n")
    return done.returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
