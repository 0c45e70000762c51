"""The PWA and the health check: what is served outside the API."""

import mimetypes
from pathlib import Path

from flask import Blueprint, Response, abort, jsonify, request, send_from_directory
from werkzeug.exceptions import NotFound
from werkzeug.security import safe_join

from .. import __version__
from ..paths import pwa_dir
from ..services.describing import database_answers
from .world import world

page_blueprint = Blueprint("pages", __name__)

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
COMPRESSED = (("br", ".br"), ("gzip", ".gz"))
UNCACHED = {"index.html", "sw.js", "manifest.webmanifest"}


@page_blueprint.get("/healthz")
def healthz() -> Response:
    """Whether the service and its database answer."""
    database_answers(world().database)
    return jsonify({"status": "ok", "database": "ok", "version": __version__})


def _send(path: str) -> Response:
    """A file of the PWA, as the build compressed it where the browser takes that."""
    root = pwa_dir()
    kind = mimetypes.guess_type(path)[0]
    for encoding, ending in COMPRESSED:
        compressed = safe_join(str(root), path + ending)
        if kind is None or compressed is None or not Path(compressed).is_file():
            continue
        if request.accept_encodings[encoding] > 0:
            response = send_from_directory(root, path + ending, mimetype=kind)
            response.headers["Content-Encoding"] = encoding
            # It would name the compressed file, and a page saved under that name could not be opened.
            response.headers.pop("Content-Disposition", None)
            response.vary.add("Accept-Encoding")
            return response
    response = send_from_directory(root, path)
    response.vary.add("Accept-Encoding")
    return response


@page_blueprint.get("/")
@page_blueprint.get("/<path:path>")
def page(path: str = "index.html") -> Response:
    """A file of the PWA; any other address is one of its screens and gets the shell."""
    if path == "api" or path.startswith("api/"):
        abort(404)
    try:
        response = _send(path)
    except NotFound:
        if "." in path.rsplit("/", 1)[-1]:
            raise
        path = "index.html"
        response = _send(path)
    if path.startswith("assets/"):
        response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
    elif path in UNCACHED:
        response.headers["Cache-Control"] = "no-cache"
    return response


def secure_headers(response: Response) -> Response:
    """What every answer says to a browser."""
    response.headers.setdefault("Content-Security-Policy", CONTENT_SECURITY_POLICY)
    response.headers.setdefault("X-Content-Type-Options", "nosniff")
    response.headers.setdefault("Referrer-Policy", "same-origin")
    response.headers.setdefault("Cross-Origin-Opener-Policy", "same-origin")
    if request.path.startswith("/api/"):
        response.headers.setdefault("Cache-Control", "no-store")
    return response
