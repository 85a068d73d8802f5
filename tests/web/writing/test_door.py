"""The door: on the home network nothing opens without the passphrase."""

from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.utils import timezone
from tests.web.writing.conftest import PASSPHRASE
from tests.web.writing.household import body

from pratique.casework.writing.forms import FORMS
from pratique.settings import CONFIG
from pratique.web import door

PATHS = [
    "/",
    "/systems/",
    "/animals/",
    "/write/",
    "/ledger/",
    "/settings/",
    "/more/",
    "/welcome/",
    f"/photos/{'0' * 64}",
    *(f"/write/{name}/" for name in FORMS),
]


def test_no_page_opens_without_the_passphrase_on_the_lan(on_the_lan: Client):
    """Every page leads to the door, and nothing can be sent past it."""
    for path in PATHS:
        assert on_the_lan.get(path)["Location"].startswith("/sign-in/?next="), path
        assert on_the_lan.post(path, {})["Location"].startswith("/sign-in/"), path


def test_on_this_machine_alone_no_door_stands(keeper: Client):
    """Who sits at the machine has the files anyway."""
    assert keeper.get("/write/").status_code == 200


def test_the_passphrase_opens_and_leads_on(on_the_lan: Client):
    """After signing in, the page that was asked for comes."""
    response = on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE, "next": "/write/?x=1"})
    assert response["Location"] == "/write/?x=1"
    assert on_the_lan.get("/write/").status_code == 200


def test_a_wrong_passphrase_is_told_at_the_field(on_the_lan: Client):
    """In words, and the door stays shut."""
    response = on_the_lan.post("/sign-in/", {"passphrase": "eight sleepy snails"})
    assert response.status_code == 422
    assert 'aria-describedby="passphrase-problem"' in body(response)
    assert on_the_lan.get("/write/").status_code == 302


def test_too_many_tries_must_wait_even_with_the_right_one(on_the_lan: Client):
    """After five tries in a quarter of an hour the device waits; later it may try again."""
    with time_machine.travel(timezone.now(), tick=False) as clock:
        for _ in range(door.TRIES_BEFORE_WAIT):
            on_the_lan.post("/sign-in/", {"passphrase": "guess"})
        refused = on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE})
        assert refused.status_code == 422
        assert "Too many tries" in body(refused)
        other_device = on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE}, REMOTE_ADDR="192.0.2.77")
        assert other_device.status_code == 302
        on_the_lan.post("/sign-out/")
        clock.shift(timedelta(seconds=door.WAIT_S))
        assert on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE}).status_code == 302


def test_one_device_is_all_of_its_ipv6_addresses(on_the_lan: Client):
    """A device may take any address of its /64, so they are counted together."""
    with time_machine.travel(timezone.now(), tick=False):
        for last in range(door.TRIES_BEFORE_WAIT):
            on_the_lan.post("/sign-in/", {"passphrase": "guess"}, REMOTE_ADDR=f"2001:db8::{last}")
        refused = on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE}, REMOTE_ADDR="2001:db8::ffff")
    assert "Too many tries" in body(refused)


def test_a_new_passphrase_shows_everyone_the_door(on_the_lan: Client):
    """A lost phone is shut out by setting another one."""
    on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE})
    door.set_passphrase("nine sleepy snails")
    assert on_the_lan.get("/write/").status_code == 302


def test_only_a_hash_is_kept_and_only_its_owner_reads_it(on_the_lan: Client):
    """The file holds an argon2 hash (RFC 9106), never the passphrase."""
    kept = door.passphrase_file()
    assert "argon2" in kept.read_text()
    assert PASSPHRASE not in kept.read_text()
    assert kept.stat().st_mode & 0o077 == 0


def test_signing_out_forgets_this_device(on_the_lan: Client):
    """And following a link does not do it."""
    on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE})
    assert on_the_lan.get("/sign-out/").status_code == 405
    on_the_lan.post("/sign-out/")
    assert on_the_lan.get("/write/").status_code == 302


def test_the_door_never_leads_to_another_host(on_the_lan: Client):
    """A crafted link cannot use the sign-in to lead away."""
    response = on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE, "next": "//example.org/"})
    assert response["Location"] == "/"


def test_pages_behind_the_door_are_not_kept_by_the_browser(on_the_lan: Client):
    """After signing out the back button shows nothing."""
    on_the_lan.post("/sign-in/", {"passphrase": PASSPHRASE})
    assert "no-store" in on_the_lan.get("/write/")["Cache-Control"]


def test_a_sign_of_life_needs_no_passphrase(on_the_lan: Client):
    """And says nothing about the household."""
    assert on_the_lan.get("/healthy/").content == b"ok"
    assert on_the_lan.head("/healthy/").status_code == 200


def test_without_encryption_every_page_says_so(on_the_lan: Client, monkeypatch: pytest.MonkeyPatch):
    """The named exception is named on the page."""
    monkeypatch.setattr(CONFIG, "plain_http", True)
    assert "without encryption" in body(on_the_lan.get("/sign-in/"))


def test_every_answer_carries_the_strict_policy(keeper: Client):
    """No script, style or picture but our own; no frame, no sniffing."""
    response = keeper.get("/write/")
    assert "default-src 'none'" in response["Content-Security-Policy"]
    assert "unsafe" not in response["Content-Security-Policy"]
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["X-Frame-Options"] == "DENY"
    assert " style=" not in body(response)
