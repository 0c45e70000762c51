"""The wire between phone and service, as a process of its own port: it can serve a newer app, or lose the API."""

import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import requests

#: Headers that hold for one connection only (RFC 9110, 7.6.1), or for a coding that is undone here.
NOT_PASSED_BACK = {"connection", "keep-alive", "transfer-encoding", "content-encoding", "content-length"}
#: Answers must come whole and plain, or they could be neither changed nor searched.
NOT_PASSED_ON = {"connection", "keep-alive", "accept-encoding", "if-none-match", "if-modified-since"}

REVISION_OF_THE_PAGE = re.compile(rb'("revision":")[0-9a-f]+(","url":"index\.html")')


class Wire(ThreadingHTTPServer):
    """Passes everything on to the service."""

    daemon_threads = True

    def __init__(self, service_url: str) -> None:
        super().__init__(("127.0.0.1", 0), _Passing)
        self.service_url = service_url
        #: Raise it and the app that comes over this wire is a newer one.
        self.edition = 1
        #: While true, requests to the API get no answer.
        self.api_is_cut = False
        #: What came back from the API: request and body.
        self.answers: list[tuple[str, bytes]] = []

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_address[1]}"

    def newer(self, path: str, content: bytes) -> bytes:
        """The app's page and worker, marked with the edition; the worker then lists a new page to keep."""
        if self.edition == 1:
            return content
        if path == "/sw.js":
            changed, n = REVISION_OF_THE_PAGE.subn(rb"\g<1>%032d\2" % self.edition, content)
            assert n == 1, "the worker no longer lists its page the way this expects"
            return changed
        mark = b'<meta name="edition" content="%d">' % self.edition
        return content.replace(b"<head>", b"<head>" + mark, 1) if b"<head>" in content[:200] else content


class _Passing(BaseHTTPRequestHandler):
    server: Wire
    protocol_version = "HTTP/1.1"

    def _pass_on(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
        if self.server.api_is_cut and self.path.startswith("/api/"):
            self.close_connection = True
            return
        kept = {name: value for name, value in self.headers.items() if name.lower() not in NOT_PASSED_ON}
        kept["Accept-Encoding"] = "identity"
        answer = requests.request(
            self.command,
            self.server.service_url + self.path,
            headers=kept,
            data=body,
            allow_redirects=False,
            timeout=30,
        )
        content = self.server.newer(self.path.split("?")[0], answer.content)
        if self.path.startswith("/api/"):
            self.server.answers.append((f"{self.command} {self.path}", content))
        self.send_response_only(answer.status_code)
        for name, value in answer.headers.items():
            if name.lower() not in NOT_PASSED_BACK:
                self.send_header(name, value)
        if answer.status_code not in (204, 304):
            self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    do_GET = do_PUT = do_POST = do_DELETE = _pass_on  # noqa: N815 – the names are the base class's

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 – the base class's name
        """Say nothing: the service has its own log."""


@contextmanager
def wire_to(service_url: str) -> Iterator[Wire]:
    wire = Wire(service_url)
    thread = threading.Thread(target=wire.serve_forever, daemon=True)
    thread.start()
    try:
        yield wire
    finally:
        wire.shutdown()
        thread.join()
        wire.server_close()
