"""The API's description as a page to browse, without a network."""

from flask import Blueprint, Response, render_template, send_from_directory

from ..paths import pwa_dir

doc_blueprint = Blueprint("api_docs", __name__, template_folder="templates")

POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
    "connect-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'"
)


@doc_blueprint.get("/api/docs")
def docs() -> Response:
    """A browsable description. Its viewer styles elements inline, so this page alone allows inline styles."""
    response = Response(render_template("docs.html"))
    response.headers["Content-Security-Policy"] = POLICY
    return response


@doc_blueprint.get("/api/docs/<path:name>")
def docs_asset(name: str) -> Response:
    """The viewer's own files, packed with the PWA."""
    return send_from_directory(pwa_dir() / "api-docs", name)
