"""Keys: made, kept under a passphrase, read back; a fault is one clear error."""

from __future__ import annotations

import hashlib
import stat
from pathlib import Path

import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, generate_private_key
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from author.errors import InputError
from author.library.signing.keys import (
    PublicKey,
    Signer,
    find_key_file,
    key_stem,
    open_key,
    public_pem,
    read_public_key,
    signed_by,
)
from author.tasks.library_keys import NewKey, make_key

PASSPHRASE = "four words of test"  # noqa: S105 - of the tests alone


@pytest.fixture(scope="module")
def own_keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("keys")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("REELWRIGHT_KEYS", str(folder / "own"))
        yield folder / "own"


@pytest.fixture(scope="module")
def made(own_keys: Path) -> NewKey:
    return make_key("J. Alder", "author", PASSPHRASE)


def test_a_key_comes_back(made: NewKey, own_keys: Path) -> None:
    signer = open_key(find_key_file("J. Alder"), PASSPHRASE)
    public = read_public_key(made.public)
    assert (public.name, public.role) == ("J. Alder", "author")
    assert public.raw == signer.public.raw
    assert made.id == public.id == hashlib.sha256(public.raw).hexdigest()
    assert signed_by(public, signer.sign(b"x"), b"x")
    assert not signed_by(public, signer.sign(b"x"), b"y")
    assert made.private.parent == own_keys
    assert stat.S_IMODE(made.private.stat().st_mode) == 0o600
    assert stat.S_IMODE(own_keys.stat().st_mode) == 0o700
    assert repr(signer) == "Signer()"


def test_the_private_key_is_not_in_the_file(made: NewKey) -> None:
    key = serialization.load_pem_private_key(made.private.read_bytes(), PASSPHRASE.encode())
    assert isinstance(key, Ed25519PrivateKey)
    raw = key.private_bytes_raw()
    der = b"".join(made.private.read_bytes().split(b"\n")[1:-2])
    import base64

    whole = base64.b64decode(der)
    assert raw not in whole
    # RFC 7914, section 7: scrypt with N = 2^14, r = 8, p = 5.
    assert bytes.fromhex("06092b06010401da47040b") in whole
    assert bytes.fromhex("02024000" + "020108" + "020105") in whole


def test_a_signature_by_the_standard() -> None:
    """RFC 8032, section 7.1, test 2 (from memory)."""
    private = bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
    public = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c"
    expected = (
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
    )
    signer = Signer(Ed25519PrivateKey.from_private_bytes(private))
    assert signer.public.text == public
    assert signer.sign(b"\x72").hex() == expected


@pytest.mark.parametrize("passphrase", ["", "four words of tesT", "four words of test ", "ä" * 9])
def test_a_wrong_passphrase(made: NewKey, passphrase: str) -> None:
    with pytest.raises(InputError, match="the passphrase does not open this key"):
        open_key(made.private, passphrase)


def test_a_short_passphrase(own_keys: Path) -> None:
    with pytest.raises(InputError, match="fewer than 8 characters"):
        make_key("Somebody", "author", "7 chars")
    assert not list(own_keys.glob("somebody*"))


def test_a_key_is_never_written_over(made: NewKey) -> None:
    before = made.private.read_bytes()
    with pytest.raises(InputError, match="there is a key of that name"):
        make_key("j alder", "keeper", PASSPHRASE)
    assert made.private.read_bytes() == before


def _curve(file: Path) -> None:
    key = generate_private_key(SECP256R1())
    pem = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.BestAvailableEncryption(PASSPHRASE.encode()),
    )
    file.write_bytes(pem)


def _bare(file: Path) -> None:
    pem = Ed25519PrivateKey.generate().private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    file.write_bytes(pem)


def _cut(file: Path, made: NewKey) -> None:
    data = made.private.read_bytes()
    file.write_bytes(data[:100] + data[140:])


def test_what_is_no_private_key(made: NewKey, tmp_path: Path) -> None:
    file = tmp_path / "some.pem"
    for fill in (
        _curve,
        _bare,
        lambda place: _cut(place, made),
        lambda place: place.write_bytes(b"\xff\x00 nothing"),
        lambda place: place.write_bytes(made.public.read_bytes()),
    ):
        fill(file)
        with pytest.raises(InputError, match="no private Ed25519 key"):
            open_key(file, PASSPHRASE)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xfe",
        b"-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----\n",
        b"-----BEGIN PUBLIC KEY-----\n!!\n-----END PUBLIC KEY-----\n",
    ],
)
def test_what_is_no_public_key(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "some.pem"
    file.write_bytes(data)
    with pytest.raises(InputError, match="no public Ed25519 key"):
        read_public_key(file)


def test_a_public_key_of_another_kind(tmp_path: Path) -> None:
    file = tmp_path / "some.pem"
    public = generate_private_key(SECP256R1()).public_key()
    file.write_bytes(
        public.public_bytes(
            serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo
        )
    )
    with pytest.raises(InputError, match="no public Ed25519 key"):
        read_public_key(file)


def test_a_name_with_signs_a_line_must_not_have(tmp_path: Path) -> None:
    file = tmp_path / "some.pem"
    key = PublicKey(Ed25519PrivateKey.generate().public_key().public_bytes_raw())
    file.write_bytes(public_pem(key, "A\u202eB", "author"))
    with pytest.raises(InputError, match="no public Ed25519 key"):
        read_public_key(file)
    file.write_bytes(public_pem(key, "A. B.", "author").partition(b"\n")[2])
    assert read_public_key(file).name is None


def test_names_of_files() -> None:
    assert key_stem("J. Alder") == "j-alder"
    assert key_stem("../../etc/passwd") == "etc-passwd"
    assert key_stem("Ünal Çelik") == "ünal-çelik"
    with pytest.raises(InputError, match="no letter"):
        key_stem("../..")


def test_no_such_key(own_keys: Path, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no key of 'Nobody'"):
        find_key_file("Nobody")
    for missing in (tmp_path / "none", tmp_path):
        with pytest.raises(InputError):
            open_key(missing, PASSPHRASE)
        with pytest.raises(InputError):
            read_public_key(missing)
