"""The household's own certificate authority, and the certificate it gives to the machine that serves the pages."""

import contextlib
import ipaddress
import os
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from pratique.settings import CONFIG

AUTHORITY_LIFE = timedelta(days=3650)
# Browsers refuse certificates that live longer than 398 days (CA/Browser Forum baseline requirements).
LEAF_LIFE = timedelta(days=397)
RENEW_BEFORE = timedelta(days=30)
# Clocks in a house differ a little.
_BACKDATED = timedelta(hours=1)


class Pair(NamedTuple):
    """A certificate and its private key, as files."""

    certificate: Path
    key: Path


def authority_file() -> Path:
    """Return where this home keeps the certificate of its own authority."""
    return _folder() / "household-ca.crt"


def fingerprint() -> str:
    """Return the authority's SHA-256 fingerprint, in pairs, as phones show it."""
    certificate = x509.load_pem_x509_certificate(authority_file().read_bytes())
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def certificate_for(names: Sequence[str], *, now: datetime | None = None) -> Pair:
    """Return a certificate for these host names and addresses, renewed where it is old or they have changed."""
    moment = now or datetime.now(UTC)
    authority = _authority(moment)
    leaf = Pair(_folder() / "server.crt", _folder() / "server.key")
    if not _still_fits(leaf, authority, names, moment):
        _make_leaf(leaf, authority, names, moment)
    return leaf


def _folder() -> Path:
    return CONFIG.home / "certificates"


def _authority(now: datetime) -> Pair:
    """Return the household's authority, made anew once its own end is within the life of a certificate it gives."""
    pair = Pair(authority_file(), _folder() / "household-ca.key")
    if pair.certificate.exists() and pair.key.exists():
        certificate = x509.load_pem_x509_certificate(pair.certificate.read_bytes())
        if certificate.not_valid_after_utc > now + LEAF_LIFE:
            return pair
    _folder().mkdir(parents=True, exist_ok=True, mode=0o700)
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name("Pratique household authority")
    usage = _key_usage(signs_certificates=True)
    builder = (
        _builder(name, name, key, now=now, life=AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
    )
    _write(pair, builder.sign(key, hashes.SHA256()), key)
    return pair


def _make_leaf(leaf: Pair, authority: Pair, names: Sequence[str], now: datetime) -> None:
    issuer = x509.load_pem_x509_certificate(authority.certificate.read_bytes())
    signing_key = serialization.load_pem_private_key(authority.key.read_bytes(), password=None)
    if not isinstance(signing_key, ec.EllipticCurvePrivateKey):
        message = f"{authority.key} is not a key this program made; move the folder away and start again."
        raise TypeError(message)
    key = ec.generate_private_key(ec.SECP256R1())
    builder = (
        _builder(_name("Pratique"), issuer.subject, key, now=now, life=LEAF_LIFE)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName([_general_name(name) for name in names]), critical=False)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(_key_usage(signs_certificates=False), critical=True)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signing_key.public_key()), critical=False)
    )
    _write(leaf, builder.sign(signing_key, hashes.SHA256()), key)


def _still_fits(leaf: Pair, authority: Pair, names: Sequence[str], now: datetime) -> bool:
    if not (leaf.certificate.exists() and leaf.key.exists()):
        return False
    certificate = x509.load_pem_x509_certificate(leaf.certificate.read_bytes())
    issuer = x509.load_pem_x509_certificate(authority.certificate.read_bytes())
    try:
        certificate.verify_directly_issued_by(issuer)
    except (ValueError, TypeError, InvalidSignature):
        return False
    held = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    wanted = {_general_name(name) for name in names}
    return certificate.not_valid_after_utc - RENEW_BEFORE > now and set(held) == wanted


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, *, now: datetime, life: timedelta
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _BACKDATED)
        .not_valid_after(now - _BACKDATED + life)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _key_usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def _name(words: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, words)])


def _general_name(name: str) -> x509.GeneralName:
    with contextlib.suppress(ValueError):
        return x509.IPAddress(ipaddress.ip_address(name))
    return x509.DNSName(name)


def _write(pair: Pair, certificate: x509.Certificate, key: ec.EllipticCurvePrivateKey) -> None:
    """Write both files; the key is readable by its owner only from its first moment."""
    plain = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    pair.key.unlink(missing_ok=True)
    handle = os.open(pair.key, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(plain)
    pair.certificate.write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
