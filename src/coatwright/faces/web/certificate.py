"""A certificate of the workshop's own, so that phones in the shop may use the page by https.

The workshop is its own authority: each phone is told once to trust it. The key never leaves the
folder it is made in.
"""

import ipaddress
import os
import socket
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final, NamedTuple

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_LIFE: Final = timedelta(days=3650)
SERVER_LIFE: Final = timedelta(days=397)
"""Browsers take no certificate of a server that lasts longer than 398 days (from memory)."""
RENEW: Final = timedelta(days=30)


class Certificate(NamedTuple):
    """Files for the server, and the authority's certificate that phones are given."""

    chain: Path
    key: Path
    authority: Path


def certificate(folder: Path, names: Sequence[str], now: datetime | None = None) -> Certificate:
    """The certificate for these names and addresses; made anew if missing, old or for others."""
    folder.mkdir(parents=True, exist_ok=True)
    now = now or datetime.now(UTC)
    found = Certificate(folder / "server.pem", folder / "server.key", folder / "authority.pem")
    authority, signer = _authority(folder, now)
    if not _serves(found, names, now):
        _write_server(found, names, authority, signer, now)
    return found


def addresses() -> list[str]:
    """The names and addresses this machine is reached by in the shop, its own first."""
    found = ["localhost", "127.0.0.1", socket.gethostname()]
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # documentation address: nothing is sent
            found.append(probe.getsockname()[0])
        except OSError:
            pass
    return list(dict.fromkeys(found))


def fingerprint(path: Path) -> str:
    """SHA-256 of a certificate, as phones show it."""
    found = x509.load_pem_x509_certificate(path.read_bytes())
    return ":".join(f"{byte:02X}" for byte in found.fingerprint(hashes.SHA256()))


def _authority(folder: Path, now: datetime) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    path, key_path = folder / "authority.pem", folder / "authority.key"
    if path.exists() and key_path.exists():
        made = x509.load_pem_x509_certificate(path.read_bytes())
        key = serialization.load_pem_private_key(key_path.read_bytes(), None)
        if made.not_valid_after_utc - now > RENEW and isinstance(key, ec.EllipticCurvePrivateKey):
            return made, key
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Coatwright, this workshop")])
    made = (
        _builder(name, name, key, now, AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .sign(key, hashes.SHA256())
    )
    _write_key(key_path, key)
    path.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    return made, key


def _write_server(
    to: Certificate,
    names: Sequence[str],
    authority: x509.Certificate,
    signer: ec.EllipticCurvePrivateKey,
    now: datetime,
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0])])
    made = (
        _builder(name, authority.subject, key, now, SERVER_LIFE)
        .add_extension(x509.SubjectAlternativeName([_general(n) for n in names]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(signer, hashes.SHA256())
    )
    _write_key(to.key, key)
    pem = serialization.Encoding.PEM
    to.chain.write_bytes(made.public_bytes(pem) + authority.public_bytes(pem))


def _builder(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    now: datetime,
    life: timedelta,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + life)
    )


def _usage(signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs, content_commitment=False, key_encipherment=False,
        data_encipherment=False, key_agreement=False, key_cert_sign=signs, crl_sign=signs,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _general(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _serves(found: Certificate, names: Sequence[str], now: datetime) -> bool:
    if not (found.chain.exists() and found.key.exists()):
        return False
    made = x509.load_pem_x509_certificate(found.chain.read_bytes())
    listed = made.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    issued = x509.load_pem_x509_certificate(found.authority.read_bytes()).subject == made.issuer
    fresh = made.not_valid_after_utc - now > RENEW
    return fresh and issued and set(listed) == {_general(name) for name in names}


def _write_key(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    """Readable by nobody else, from the first byte on."""
    text = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    path.unlink(missing_ok=True)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(text)
