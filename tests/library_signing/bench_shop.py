"""A small library of our own with people, keys, a procedure, its stills and clips."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from author.library.shop import new_shop
from author.library.signing.history import library_history, procedure_history
from author.library.signing.keys import Signer, new_signer
from author.library.signing.manifest import KeyAct, ProcedureAct
from author.library.signing.signatures import SignedAct, Signing, act_file, signed_bytes
from author.storage import new_generation
from author.tasks.library_keys import admit
from author.tasks.library_signing import sign
from author.tasks.signing_off import sign_off

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "schema/examples/valid"
START = datetime(2026, 9, 14, 8, 0, tzinfo=UTC)
ID = "belt-change"
# Keys cost nothing as long as no passphrase is asked for: one of each for all tests.
KEEPER, AUTHOR, REVIEWER, SECOND, STRANGER = (new_signer() for _ in range(5))
PEOPLE = (
    (KEEPER, "K. Keeper", ("keeper",)),
    (AUTHOR, "A. Author", ("author",)),
    (REVIEWER, "R. Reviewer", ("reviewer",)),
    (SECOND, "S. Second", ("author", "reviewer")),
)


@dataclass
class BenchShop:
    """A library on disk, and a clock that goes on by a minute with every act."""

    folder: Path
    now: datetime = START

    @property
    def procedure(self) -> Path:
        return self.folder / "procedures" / ID

    @property
    def file(self) -> Path:
        return self.procedure / "procedure.yaml"

    @property
    def signatures(self) -> Path:
        return self.procedure / "signatures"

    def tick(self) -> datetime:
        self.now += timedelta(minutes=1)
        return self.now

    def admit_all(self) -> None:
        for signer, name, roles in PEOPLE:
            admit(self.folder, signer.public, name, roles, KEEPER, now=self.tick())

    def put(self, name: str = ID, state: str = "draft") -> Path:
        """Put a procedure on the shelf as it comes from its author."""
        place = self.folder / "procedures" / name
        place.mkdir(parents=True)
        text = (EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8")
        assert "\nstate: approved\n" in text
        text = text.replace("\nstate: approved\n", f"\nstate: {state}\n")
        (place / "procedure.yaml").write_text(text, encoding="utf-8")
        self.publish(place)
        return place

    def publish(self, place: Path, page: bytes = b"a page ") -> None:
        with new_generation(place / "published") as generation:
            generation.write("stills/01-unplug.jpg", b"a still " * 8)
            generation.write("clips/01-unplug.mp4", b"a clip " * 8)
            generation.write("procedure.pdf", b"a print " * 8)
            generation.write("page/index.html", page * 8)
            generation.commit({})

    def accept(self, name: str = ID, by: str = "R. Reviewer") -> None:
        """Accept every number and critical point."""
        sign_off(self.folder / "procedures" / name, [], by=by, role="reviewer", day=self.now.date())

    def sign(self, purpose: str, signer: Signer, name: str = ID, **more: object) -> Signing:
        if "now" not in more:
            more["now"] = self.tick()
        return sign(self.folder, name, purpose, signer, **more)

    def approve(self, name: str = ID) -> Signing:
        """Take a draft all the way."""
        self.sign("authored", AUTHOR, name)
        self.sign("in_review", AUTHOR, name)
        self.accept(name)
        self.sign("reviewed", REVIEWER, name)
        return self.sign("approved", REVIEWER, name)

    def edit(self, old: str, new: str) -> None:
        text = self.file.read_text(encoding="utf-8")
        assert text.count(old) == 1, old
        self.file.write_text(text.replace(old, new), encoding="utf-8")

    def acts(self, name: str = ID) -> list[SignedAct[ProcedureAct]]:
        place = self.folder / "procedures" / name
        return list(procedure_history(place, self.founded, self.folder).entries)

    @property
    def founded(self) -> str:
        return library_history(self.folder).entries[0].sha256

    def forge(self, signer: Signer, *, of: str = ID, **changes: object) -> Path:
        """Add an act as a program of somebody else would, with no rule looked at."""
        newest = self.acts(of)[-1]
        plain = newest.act.model_dump(mode="json", exclude_none=True)
        plain |= {
            "number": newest.act.number + 1,
            "before": newest.sha256,
            "key": signer.public.text,
            **changes,
        }
        act = ProcedureAct.model_validate(plain)
        file = self.folder / "procedures" / of / "signatures" / act_file(act)
        file.write_bytes(signed_bytes(act, signer))
        return file

    def forge_key_act(self, signer: Signer, **changes: object) -> Path:
        """Add an act to the library's own history likewise."""
        newest = library_history(self.folder).entries[-1]
        plain = newest.act.model_dump(mode="json", exclude_none=True)
        plain |= {
            "number": newest.act.number + 1,
            "before": newest.sha256,
            "key": signer.public.text,
            **changes,
        }
        plain["holder"]["roles"] = tuple(plain["holder"]["roles"])
        act = KeyAct.model_validate(plain)
        file = self.folder / "history" / act_file(act)
        file.write_bytes(signed_bytes(act, signer))
        return file


def make(folder: Path, *, approved: bool = True) -> BenchShop:
    """Return a library with people and one procedure, approved or a draft."""
    new_shop(folder, "Alder Row tool room, demo")
    shop = BenchShop(folder)
    shop.admit_all()
    shop.put()
    if approved:
        shop.approve()
    return shop


def copy(shop: BenchShop, to: Path) -> BenchShop:
    shutil.copytree(shop.folder, to, symlinks=True)
    return BenchShop(to, shop.now)
