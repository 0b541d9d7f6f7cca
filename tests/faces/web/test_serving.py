"""Serving: where the record lies, what is said of the addresses, https that a phone can trust."""

import http.client
import socket
import ssl
import urllib.error
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from coatwright.errors import InputError
from coatwright.faces.web import serving
from coatwright.faces.web.app import create_app
from coatwright.faces.web.certificate import certificate, fingerprint
from web_server import running


def test_the_demo_has_a_record_of_its_own(tmp_path, monkeypatch):
    monkeypatch.setenv("COATWRIGHT_RECORD", str(tmp_path))
    monkeypatch.delenv("COATWRIGHT_DATABASE", raising=False)
    assert serving.settings_for(None, demo=False).record == tmp_path
    assert serving.settings_for(None, demo=True).record == tmp_path / "demo"
    given = serving.settings_for(tmp_path / "mine", demo=True)
    assert given.record == tmp_path / "mine"
    assert given.database == f"sqlite:///{tmp_path / 'mine' / 'record.db'}"


def test_the_demo_is_begun_once(tmp_path):
    settings = serving.settings_for(tmp_path, demo=True)
    for _ in range(2):
        with serving.shop_in(settings, demo=True) as shop:
            assert len(shop.jobs()) == 1
            assert shop.open(shop.jobs()[0]).bench.job.invented


def test_what_is_said_tells_how_phones_get_in():
    assert serving.told(serving.Place())[0] == "Open http://127.0.0.1:8321/"
    assert "--host 0.0.0.0" in serving.told(serving.Place())[1]
    lines = serving.told(serving.Place("workshop.local", 443, True))
    assert lines[-1].endswith("https://workshop.local:443/trust")


def test_a_port_that_is_taken_is_one_sentence(tmp_path):
    with (
        socket.socket() as taken,
        serving.shop_in(serving.settings_for(tmp_path, False), False) as shop,
    ):
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        place = serving.Place(port=taken.getsockname()[1])
        # In a thread of its own: the browser tests of this process keep a loop running in this one.
        with (
            ThreadPoolExecutor(1) as pool,
            pytest.raises(InputError, match="nothing can be served"),
        ):
            pool.submit(serving.serve, shop, place).result(30)


@pytest.fixture
def secure(tmp_path):
    """Port and authority of the pages served by https."""
    made = certificate(tmp_path / "certificate", ["localhost", "127.0.0.1"])
    with serving.shop_in(serving.settings_for(tmp_path, False), False) as shop:
        app = create_app(shop, made.authority)
        with running(app, ssl_certfile=made.chain, ssl_keyfile=made.key) as port:
            yield port, made.authority


def fetch(port: int, path: str, authority: Path | None) -> bytes:
    trusting = ssl.create_default_context(cafile=authority)
    with urllib.request.urlopen(f"https://localhost:{port}{path}", context=trusting) as answer:
        return answer.read()


def test_who_trusts_the_authority_trusts_the_pages_and_nobody_else(secure):
    """The check of the chain is OpenSSL's own, as browsers make it."""
    port, authority = secure
    with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
        fetch(port, "/trust", None)
    text = fetch(port, "/trust", authority).decode()
    assert fingerprint(authority) in text
    given = fetch(port, "/trust/authority.pem", authority)
    assert given == authority.read_bytes()
    assert b"PRIVATE" not in given
    assert b"skipWaiting" in fetch(port, "/sw.js", authority)


def test_no_service_worker_where_browsers_take_none(tmp_path):
    """Over plain http only this machine is a secure context (W3C Secure Contexts, from memory)."""
    with serving.shop_in(serving.settings_for(tmp_path, False), False) as shop:
        app = create_app(shop)
        with running(app) as port:
            assert asked(port, "/sw.js", "192.0.2.7")[0] == 404
            status, script = asked(port, "/sw.js", "localhost")
            assert status == 200
            assert f'"coatwright-{app.state.mark}"' in script
            assert "without encryption" in asked(port, "/trust", "192.0.2.7")[1]
            assert asked(port, "/trust/authority.pem", "localhost")[0] == 404


def asked(port: int, path: str, host: str) -> tuple[int, str]:
    """What is answered to somebody who reaches it under this name."""
    line = http.client.HTTPConnection("127.0.0.1", port)
    line.request("GET", path, headers={"Host": f"{host}:{port}"})
    answer = line.getresponse()
    found = answer.status, answer.read().decode()
    line.close()
    return found
