"""The club's records to take away: open tables for the dealer, the whole club for the steward."""

import tempfile
from pathlib import Path
from typing import Any

import marshmallow as ma
from flask import Response, send_file

from ..services import bundling, exporting
from .api import Blueprint
from .auth import caller, signed_in
from .fields import needed_words
from .world import world

export_blueprint = Blueprint(
    "export", __name__, url_prefix="/api/v1/export", description="The club's records to take away."
)

BINARY = {"type": "string", "format": "binary"}
ZIP = "application/zip"


class PasswordAgain(ma.Schema):
    """Your own password once more."""

    password = needed_words(200)


def _sent(path: Path, name: str) -> Response:
    """The file as a download. Its name may go at once: the open file stays until the answer is through."""
    response = send_file(path.open("rb"), mimetype=ZIP, as_attachment=True, download_name=name)
    response.headers["Cache-Control"] = "no-store"
    return response


@export_blueprint.route("/data-package.zip", methods=["GET"])
@signed_in
@export_blueprint.doc(summary="Records and pooled grades as open tables", operationId="getDataPackage")
@export_blueprint.response(200, BINARY, content_type=ZIP)
@export_blueprint.alt_response(403, "DEFAULT_ERROR")
def get_data_package() -> Response:
    """Everything the dealer may see: CSV with a Data Package descriptor, JSON, and a data dictionary."""
    with tempfile.TemporaryDirectory(prefix="whetpanel-export-") as folder:
        path = Path(folder) / "tables.zip"
        with path.open("wb") as target:
            about = exporting.export_tables(world().database, caller(), target)
        return _sent(path, f"{about['name']}-r{about['revision']}.zip")


@export_blueprint.route("/club.zip", methods=["POST"])
@signed_in
@export_blueprint.doc(
    summary="The whole club as one file, to move it or to keep", operationId="getClubBundle"
)
@export_blueprint.arguments(PasswordAgain)
@export_blueprint.response(200, BINARY, content_type=ZIP)
@export_blueprint.alt_response(403, "DEFAULT_ERROR")
def get_club_bundle(fields: dict[str, Any]) -> Response:
    """All states of all records, sign-ins and photos. Steward only, with the own password once more."""
    here = world()
    with tempfile.TemporaryDirectory(prefix="whetpanel-export-") as folder:
        path = Path(folder) / "club.zip"
        manifest = bundling.export_own_club(
            here.database, here.photos, here.settings, caller(), fields["password"], path
        )
        return _sent(path, f"{manifest['slug']}-club-r{manifest['revision']}.zip")
