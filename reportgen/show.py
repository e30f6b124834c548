"""Serve what was built to a browser on this machine, and to no other."""

from __future__ import annotations

import sys
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import quote, unquote, urlsplit

LOOPBACK = "127.0.0.1"
COACH_PAGE = "for-the-coach/index.html"


def coach_pages(output: Path) -> list[str]:
    """Addresses of the coach's pages, from the root of the site."""
    return [f"/{quote(page.relative_to(output).as_posix())}" for page in sorted(output.glob(f"*/{COACH_PAGE}"))]


class _Pages(SimpleHTTPRequestHandler):
    """Files under `directory`, without lists of folders and without anything hidden."""

    def send_head(self):
        host = (self.headers.get("Host") or "").rpartition(":")[0]
        if host not in (LOOPBACK, "localhost"):      # a page elsewhere that points its own name at this machine
            return self._refuse(HTTPStatus.FORBIDDEN)
        path = unquote(urlsplit(self.path).path)
        if any(part.startswith(".") for part in path.split("/")):
            return self._refuse(HTTPStatus.NOT_FOUND)
        if path == "/" and (pages := coach_pages(Path(self.directory))):
            self.send_response(HTTPStatus.FOUND)
            self.send_header("Location", pages[0])
            self.end_headers()
            return None
        return super().send_head()

    def list_directory(self, path):
        return self._refuse(HTTPStatus.NOT_FOUND)

    def end_headers(self):
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def log_message(self, format, *args):
        pass

    def _refuse(self, status: HTTPStatus):
        self.send_error(status)


def server_for(output: Path) -> ThreadingHTTPServer:
    """A server on a free port of the loopback address; the caller runs and closes it."""
    return ThreadingHTTPServer((LOOPBACK, 0), partial(_Pages, directory=str(output.resolve())))


def serve(output: Path) -> None:
    """Says the addresses and serves until Ctrl-C."""
    with server_for(output) as server:
        root = f"http://{LOOPBACK}:{server.server_port}"
        for page in coach_pages(output):
            print(f"Open {root}{page}")
        print("Only this machine can see it. Ctrl-C ends it.")
        sys.stdout.flush()
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            print()
