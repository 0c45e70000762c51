"""Pages for whoever scans a slip's QR code: no account, no script."""

from io import BytesIO
from pathlib import Path

from flask import Blueprint, Response, redirect, render_template, request, send_from_directory
from werkzeug.wrappers import Response as AnyResponse

from ..documents import grade_slip_pdf
from ..documents.shortlist_page import shortlist_page
from ..documents.slip_page import slip_page
from ..errors import NotFound
from ..services import publishing, shortlisting
from .world import world

public_blueprint = Blueprint("public", __name__, template_folder="templates")

STATIC = Path(__file__).parent / "static_pages"


def _address(code: str) -> str:
    base = world().settings.public_url or request.host_url.rstrip("/")
    return f"{base}/s/{code}"


@public_blueprint.get("/s/<string:code>.pdf")
def slip_pdf(code: str) -> Response:
    """The slip to print; ``paper`` is a4 (default) or letter."""
    here = world()
    slip = publishing.published(here.database, code)
    pdf = grade_slip_pdf(
        slip, url=_address(slip["code"]), paper=request.args.get("paper", "a4"), renderer=here.renderer
    )
    name = f"slip-{slip['stone']['code']}-{slip['code']}.pdf".replace("/", "_")
    return Response(
        BytesIO(pdf),
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )


@public_blueprint.get("/s/<string:code>")
def slip_page_view(code: str) -> AnyResponse | tuple[str, int]:
    """The slip as a page. A code typed in small letters leads to its one address."""
    here = world()
    try:
        slip = publishing.published(here.database, code)
    except NotFound as refusal:
        return render_template("slip_missing.html", detail=refusal.detail, style_url="/public/slip.css"), 404
    if slip["code"] != code:
        return redirect(f"/s/{slip['code']}", code=301)
    response = Response(
        render_template(
            "slip.html", slip=slip_page(slip), pdf_url=f"/s/{slip['code']}.pdf", style_url="/public/slip.css"
        )
    )
    # A slip can be withdrawn at any moment, and a buyer must not see an old copy of it.
    response.headers["Cache-Control"] = "no-cache"
    return response


@public_blueprint.get("/m/<string:code>")
def shortlist_page_view(code: str) -> AnyResponse | tuple[str, int]:
    """A shortlist as a page. A code typed in small letters leads to its one address."""
    try:
        found = shortlisting.shown_shortlist(world().database, code)
    except NotFound as refusal:
        return render_template("shortlist_missing.html", detail=refusal.detail), 404
    if found["code"] != code:
        return redirect(f"/m/{found['code']}", code=301)
    response = Response(render_template("shortlist.html", list=shortlist_page(found)))
    response.headers["Cache-Control"] = "no-cache"
    return response


@public_blueprint.get("/public/<string:name>")
def public_file(name: str) -> Response:
    """The pages' stylesheets."""
    return send_from_directory(STATIC, name, max_age=3600)
