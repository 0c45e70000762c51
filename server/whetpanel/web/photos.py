"""Photos, named by the hash of what was sent."""

import marshmallow as ma
from flask import Response, jsonify, request
from werkzeug.exceptions import UnsupportedMediaType

from ..errors import NotFound, TooLarge
from ..services import keeping_photos
from .api import Blueprint
from .auth import caller, signed_in
from .fields import whole
from .schemas.common import SHA256
from .world import world

photo_blueprint = Blueprint(
    "photos", __name__, url_prefix="/api/v1/photos", description="Photos by content hash."
)

TYPES = ("image/jpeg", "image/png", "image/webp")
FOREVER = {"Cache-Control": "private, max-age=31536000, immutable"}
BINARY = {"type": "string", "format": "binary"}
SHA_PARAMETER = {
    "in": "path", "name": "sha256", "required": True, "schema": {"type": "string", "pattern": SHA256.pattern},
}  # fmt: skip


class PhotoRead(ma.Schema):
    """What is known of a photo as it is kept: without metadata, so its size differs from what was sent."""

    sha256 = ma.fields.String(required=True)
    media_type = ma.fields.String(required=True)
    bytes = whole(1, 10**9, required=True)
    width = whole(1, 10**6, required=True)
    height = whole(1, 10**6, required=True)


def _known_name(sha256: str) -> str:
    if not SHA256.match(sha256):
        raise NotFound("A photo's address ends in its SHA-256 in hexadecimal.")
    return sha256


@photo_blueprint.route("/<string:sha256>", methods=["PUT"], parameters=[SHA_PARAMETER])
@signed_in
@photo_blueprint.doc(
    summary="Send a photo; sending it again is harmless",
    operationId="putPhoto",
    requestBody={"required": True, "content": {kind: {"schema": BINARY} for kind in TYPES}},
)
@photo_blueprint.response(200, PhotoRead, description="It was here already")
@photo_blueprint.alt_response(201, schema=PhotoRead, description="Kept")
@photo_blueprint.alt_response(413, "DEFAULT_ERROR")
@photo_blueprint.alt_response(415, "DEFAULT_ERROR")
@photo_blueprint.alt_response(422, "DEFAULT_ERROR")
def put_photo(sha256: str) -> Response:
    """Send a photo; sending it again is harmless."""
    here = world()
    if request.mimetype not in TYPES:
        raise UnsupportedMediaType("Send a JPEG, PNG or WebP.")
    if (request.content_length or 0) > here.settings.photo_max_bytes:
        raise TooLarge(
            f"The photo is larger than {here.settings.photo_max_bytes} bytes. Shrink it and send it again."
        )
    kept = keeping_photos.keep_photo(
        here.database,
        here.photos,
        here.clock,
        here.settings,
        caller(),
        _known_name(sha256),
        request.get_data(),
    )
    response = jsonify(kept.body)
    response.status_code = 201 if kept.new else 200
    return response


@photo_blueprint.route("/<string:sha256>", methods=["GET"], parameters=[SHA_PARAMETER])
@signed_in
@photo_blueprint.doc(summary="A photo", operationId="getPhoto")
@photo_blueprint.response(200, BINARY, content_type="image/*")
@photo_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_photo(sha256: str) -> Response:
    """A photo, without metadata."""
    here = world()
    content, media_type = keeping_photos.fetch_photo(
        here.database, here.photos, caller(), _known_name(sha256)
    )
    return Response(content, content_type=media_type, headers=FOREVER)


@photo_blueprint.route("/<string:sha256>/thumb", methods=["GET"], parameters=[SHA_PARAMETER])
@signed_in
@photo_blueprint.doc(summary="A photo, small", operationId="getPhotoThumb")
@photo_blueprint.response(200, BINARY, content_type="image/webp")
@photo_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_thumb(sha256: str) -> Response:
    """A photo, at most 320 px either way."""
    here = world()
    content, media_type = keeping_photos.fetch_photo(
        here.database, here.photos, caller(), _known_name(sha256), thumb=True
    )
    return Response(content, content_type=media_type, headers=FOREVER)
