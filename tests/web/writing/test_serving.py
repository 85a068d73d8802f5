"""Serving: the household's own certificates, its place on the network, and a free port."""

import socket
import ssl
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from pratique.settings import CONFIG
from pratique.web.serving import addresses, certificates
from pratique.web.serving.application import warm_up_beside
from pratique.web.serving.certificates import certificate_for

NAMES = ("192.0.2.10", "harbour.local", "localhost", "127.0.0.1")
NOW = datetime.now(UTC)


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep the certificates of each test apart."""
    monkeypatch.setattr(CONFIG, "home", tmp_path)
    return tmp_path


def _leaf() -> x509.Certificate:
    return x509.load_pem_x509_certificate(certificate_for(NAMES).certificate.read_bytes())


def test_a_phone_that_trusts_the_household_believes_its_pages():
    """A TLS client (Python's ssl, which follows RFC 5280 and RFC 6125) accepts address and name, and no other."""
    pair = certificate_for(NAMES)
    trusting = ssl.create_default_context(cafile=certificates.authority_file())
    assert _greeted(pair, trusting, "127.0.0.1") == "ok"
    assert _greeted(pair, trusting, "harbour.local") == "ok"
    with pytest.raises(ssl.SSLCertVerificationError):
        _greeted(pair, trusting, "elsewhere.local")
    with pytest.raises(ssl.SSLCertVerificationError):
        _greeted(pair, ssl.create_default_context(), "127.0.0.1")


def _greeted(pair: certificates.Pair, trusting: ssl.SSLContext, name: str) -> str:
    serving = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    serving.load_cert_chain(pair.certificate, pair.key)
    with socket.create_server(("127.0.0.1", 0)) as listening:

        def answer() -> None:
            caller, _ = listening.accept()
            with caller:
                try:
                    with serving.wrap_socket(caller, server_side=True) as secured:
                        secured.sendall(b"ok")
                except OSError:
                    # The caller did not believe the certificate: what the test asks about.
                    return

        thread = threading.Thread(target=answer)
        thread.start()
        try:
            with (
                socket.create_connection(listening.getsockname()) as calling,
                trusting.wrap_socket(calling, server_hostname=name) as secured,
            ):
                return secured.recv(2).decode()
        finally:
            thread.join()


def test_the_keys_are_read_by_their_owner_only(own_home: Path):
    """The authority's key could speak for any name to a phone that trusts it."""
    certificate_for(NAMES)
    for key in (own_home / "certificates").glob("*.key"):
        assert key.stat().st_mode & 0o077 == 0


def test_a_certificate_lives_no_longer_than_browsers_allow():
    """398 days at most (CA/Browser Forum baseline requirements, from memory)."""
    leaf = _leaf()
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=398)


def test_the_authority_can_sign_nothing_further_down():
    """Path length 0 (RFC 5280, 4.2.1.9): no authority below it."""
    certificate_for(NAMES)
    authority = x509.load_pem_x509_certificate(certificates.authority_file().read_bytes())
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints).value
    assert (basic.ca, basic.path_length) == (True, 0)


def test_the_certificate_stays_while_it_fits_and_changes_with_the_address():
    """A phone need not be told anew every day, but a new address needs a new certificate."""
    first = _leaf().serial_number
    assert _leaf().serial_number == first
    certificate_for(("192.0.2.11", *NAMES[1:]))
    assert _leaf().serial_number != first


def test_the_certificate_is_renewed_before_it_ends_and_the_phone_needs_nothing_new():
    """The authority stays the same, so trust once given holds."""
    authority_before = None
    first = _leaf().serial_number
    authority_before = certificates.fingerprint()
    certificate_for(NAMES, now=NOW + timedelta(days=380))
    assert (
        x509.load_pem_x509_certificate((CONFIG.home / "certificates" / "server.crt").read_bytes()).serial_number
        != first
    )
    assert certificates.fingerprint() == authority_before


def test_a_taken_port_gives_the_next_one():
    """Another program on the port is no reason not to serve."""
    with addresses.bound_socket(18321, lan=False) as first, addresses.bound_socket(18321, lan=False) as second:
        assert second.getsockname()[1] > first.getsockname()[1] - 1
        assert second.getsockname()[1] != first.getsockname()[1]


def test_without_lan_only_this_machine_is_answered():
    """The socket is bound to the loopback address."""
    with addresses.bound_socket(18421, lan=False) as listening:
        assert listening.getsockname()[0] == "127.0.0.1"


def test_with_lan_the_network_is_answered_too():
    """The socket is bound to every address, IPv6 with IPv4 where the machine has both."""
    with addresses.bound_socket(18521, lan=True) as listening:
        assert listening.getsockname()[0] in {"::", "0.0.0.0"}  # noqa: S104 - that is the question


def test_this_machine_names_itself_for_the_certificate():
    """Its name on the home network, and itself."""
    names = addresses.certificate_names()
    assert any(name.endswith(".local") for name in names)
    assert {"localhost", "127.0.0.1"} <= set(names)


def test_the_server_says_when_the_first_pages_must_wait(monkeypatch: pytest.MonkeyPatch, capsys):
    """After an upgrade the loops are compiled once more: the terminal says why pages are slow, and only then."""
    monkeypatch.setattr("pratique.casework.reckoning.warming.warm_up", lambda: None)
    for is_warm in (False, True):
        monkeypatch.setattr("pratique.casework.reckoning.warming.is_warm", lambda is_warm=is_warm: is_warm)
        warm_up_beside()
    assert capsys.readouterr().err.count("first pages wait") == 1
