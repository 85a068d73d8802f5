"""Where a phone on the home network finds this machine."""

import contextlib
import ipaddress
import socket

# Nothing is sent: connecting a datagram socket only asks the system which of its addresses it would use. The
# destinations are documentation addresses (RFC 5737, RFC 3849).
_ASKED = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))


def lan_addresses() -> tuple[str, ...]:
    """Return this machine's addresses on the home network, the one most likely to be reached first."""
    found: list[str] = []
    for family, destination in _ASKED:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as asking:
                asking.connect((destination, 9))
                found.append(str(asking.getsockname()[0]))
        except OSError:
            continue
    with contextlib.suppress(OSError):
        found += [str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None)]
    return tuple(dict.fromkeys(address for address in found if _is_reachable(address)))


def certificate_names() -> tuple[str, ...]:
    """Return every name and address under which this machine's pages may be opened."""
    host = socket.gethostname().split(".")[0].lower()
    return tuple(dict.fromkeys((*lan_addresses(), f"{host}.local", host, "localhost", "127.0.0.1", "::1")))


def _is_reachable(text: str) -> bool:
    try:
        address = ipaddress.ip_address(text.partition("%")[0])
    except ValueError:
        return False
    return not (address.is_loopback or address.is_link_local or address.is_unspecified)


def bound_socket(port: int, *, lan: bool) -> socket.socket:
    """Return a listening place on the port, or on the next free one: for this machine only, or for the network."""
    for candidate in range(port, min(port + 100, 65536)):
        try:
            return _bind(candidate, lan=lan)
        except OSError:
            continue
    message = f"No port from {port} on is free."
    raise OSError(message)


def _bind(port: int, *, lan: bool) -> socket.socket:
    has_both = lan and socket.has_dualstack_ipv6()
    listening = socket.socket(socket.AF_INET6 if has_both else socket.AF_INET, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if has_both:
            listening.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        everywhere = "::" if has_both else "0.0.0.0"  # noqa: S104 - only behind --lan, which demands the passphrase
        listening.bind((everywhere if lan else "127.0.0.1", port))
        # A second server on the same port is only refused once this one listens.
        listening.listen(128)
    except OSError:
        listening.close()
        raise
    return listening
