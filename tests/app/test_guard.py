"""Nobody else may talk to the server of the live view."""

import pytest


@pytest.fixture
def client(open_site):
    return open_site()


def test_without_the_token_nothing_is_told_and_nothing_done(client):
    for headers in ({}, {"x-hillmast-token": "guess"}, {"x-hillmast-token": ""}):
        assert client.raw.get("/api/sites", headers=headers).status_code == 403
        answer = client.raw.post(f"{client.site}/save", json={"version": 1}, headers=headers)
        assert answer.status_code == 403
        assert "Larkrise" not in answer.text
    assert (
        client.raw.get(f"/api/sites?token={client.headers['x-hillmast-token']}").status_code == 403
    )


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1", "127.0.0.1:1", "localhost.evil", "x"])
def test_a_foreign_host_is_refused(client, host):
    assert client.get("/api/sites", headers={"host": host}).status_code == 421
    assert client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "origin", ["http://example.org", "null", "http://127.0.0.1:1", "https://127.0.0.1"]
)
def test_a_foreign_origin_is_refused(client, origin):
    assert (
        client.post(f"{client.site}/undo", {"version": 1}, headers={"origin": origin}).status_code
        == 403
    )


def test_its_own_pages_are_answered(client):
    for host in (f"127.0.0.1:{client.port}", f"localhost:{client.port}"):
        own = {"host": host, "origin": f"http://{host}", "sec-fetch-site": "same-origin"}
        assert client.get("/api/sites", headers=own).status_code == 200
    assert client.get("/api/sites", headers={"sec-fetch-site": "cross-site"}).status_code == 403


def test_a_body_too_large_is_refused_whatever_its_header_says(client):
    assert (
        client.raw.post(
            f"{client.site}/edit", content=b"x" * 300_000, headers=client.headers
        ).status_code
        == 413
    )

    def drops():
        for _ in range(300):
            yield b"x" * 1000

    assert (
        client.raw.post(f"{client.site}/edit", content=drops(), headers=client.headers).status_code
        == 413
    )


def test_every_answer_says_what_may_be_done_with_it(client):
    for answer in (client.get("/api/sites"), client.raw.get("/api/sites"), client.get("/nowhere")):
        assert answer.headers["content-security-policy"].startswith("default-src 'none'")
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in answer.headers


def test_other_methods_and_unknown_sites(client):
    assert client.raw.request("DELETE", "/api/sites", headers=client.headers).status_code == 405
    assert client.get("/api/sites/0123456789ab/state").status_code == 404
    assert client.get("/api/sites/..%2f..%2fetc/state").status_code == 404


def test_an_accident_tells_the_client_nothing(client, monkeypatch):
    def fail(self):
        raise RuntimeError("secret of the house")

    monkeypatch.setattr(type(client.desk), "entries", fail)
    answer = client.get("/api/sites")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text


@pytest.mark.parametrize(
    "body", [b"{", b"[]", b'{"version": "1"}', b'{"version": true}', b'{"version": 1}', b"\xff"]
)
def test_a_body_that_makes_no_sense_is_refused(client, body):
    answer = client.raw.post(f"{client.site}/edit", content=body, headers=client.headers)
    assert answer.status_code == 400
    assert client.session.version == 1
