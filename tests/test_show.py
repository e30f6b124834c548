"""What `show` serves, and to whom."""

from __future__ import annotations

import http.client
import threading

import pytest

from reportgen.show import coach_pages, server_for


@pytest.fixture
def site(tmp_path):
    for batch in ("demo", "two words"):
        for name in ("for-the-coach/index.html", "to-share/abc/index.html", ".state/elm.json"):
            path = tmp_path / batch / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(f"{batch} {name}", encoding="utf-8")
    server = server_for(tmp_path)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield tmp_path, server
    server.shutdown()
    server.server_close()
    thread.join()


def get(server, path, host=None):
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
    connection.request("GET", path, headers={"Host": host} if host else {})
    answer = connection.getresponse()
    body = answer.read().decode()
    connection.close()
    return answer.status, body, answer.getheader("Location")


def test_only_this_machine_is_served_on_a_free_port(site):
    _, server = site
    assert server.server_address[0] == "127.0.0.1" and server.server_port > 0


def test_pages_are_served_and_the_root_leads_to_the_coach(site):
    folder, server = site
    assert coach_pages(folder) == ["/demo/for-the-coach/index.html", "/two%20words/for-the-coach/index.html"]
    for page in coach_pages(folder):
        assert get(server, page)[0] == 200
    assert get(server, "/demo/to-share/abc/index.html")[:2] == (200, "demo to-share/abc/index.html")
    assert get(server, "/")[0::2] == (302, "/demo/for-the-coach/index.html")


@pytest.mark.parametrize("path", ["/demo/to-share/", "/demo/", "/demo/.state/elm.json", "/demo/%2estate/elm.json",
                                  "/../pyproject.toml", "/demo/to-share/abc/../../.state/elm.json"])
def test_no_list_of_folders_and_nothing_hidden_or_outside(site, path):
    assert get(site[1], path)[0] == 404


def test_a_foreign_name_that_points_here_is_refused(site):
    assert get(site[1], "/demo/for-the-coach/index.html", host="evil.example:80")[0] == 403
