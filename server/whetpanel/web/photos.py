"""Photos, named by the hash of what was sent."""

import re

import marshmallow as ma
from flask import Response, jsonify, request
from werkzeug.exceptions import UnsupportedMediaType

from ..errors import Invalid, NotFound, TooLarge
from ..services import keeping_photos
from .api import Blueprint
from .auth import caller, signed_in
from .fields import JsonBool, whole
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


class ReceivedRead(ma.Schema):
    """Bytes held from the start without a gap, and whether the photo is complete."""

    sha256 = ma.fields.String(required=True)
    received = whole(0, 10**9, required=True)
    complete = JsonBool(required=True)


CONTENT_RANGE = {
    "in": "header",
    "name": "Content-Range",
    "description": "For a piece of a photo: bytes <first>-<last>/<total>, at most 512 KiB.",
    "schema": {"type": "string", "pattern": "^bytes [0-9]{1,10}-[0-9]{1,10}/[0-9]{1,10}$"},
}


def _known_name(sha256: str) -> str:
    if not SHA256.match(sha256):
        raise NotFound("A photo's address ends in its SHA-256 in hexadecimal.")
    return sha256


@photo_blueprint.route("/<string:sha256>", methods=["PUT"], parameters=[SHA_PARAMETER, CONTENT_RANGE])
@signed_in
@photo_blueprint.doc(
    summary="Send a photo; sending it again is harmless",
    operationId="putPhoto",
    requestBody={"required": True, "content": {kind: {"schema": BINARY} for kind in TYPES}},
)
@photo_blueprint.response(200, PhotoRead, description="It was here already")
@photo_blueprint.alt_response(201, schema=PhotoRead, description="Kept")
@photo_blueprint.alt_response(202, schema=ReceivedRead, description="A piece arrived; more are to come")
@photo_blueprint.alt_response(413, "DEFAULT_ERROR")
@photo_blueprint.alt_response(415, "DEFAULT_ERROR")
@photo_blueprint.alt_response(422, "DEFAULT_ERROR")
def put_photo(sha256: str) -> Response:
    """Send a photo; sending it again is harmless."""
    here = world()
    if request.mimetype not in TYPES:
        raise UnsupportedMediaType("Send a JPEG, PNG or WebP.")
    content_range = request.headers.get("Content-Range")
    if content_range is not None:
        return _put_piece(_known_name(sha256), content_range)
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
    return _kept(kept)


def _kept(kept: keeping_photos.KeptPhoto) -> Response:
    response = jsonify(kept.body)
    response.status_code = 201 if kept.new else 200
    return response


def _put_piece(sha256: str, header: str) -> Response:
    here = world()
    match = re.fullmatch(r"bytes ([0-9]{1,10})-([0-9]{1,10})/([0-9]{1,10})", header.strip())
    if match is None:
        raise Invalid("Give Content-Range as bytes <first>-<last>/<total>, such as bytes 0-99/250.")
    first, last, total = (int(number) for number in match.groups())
    content = request.get_data()
    if last - first + 1 != len(content):
        raise Invalid("Content-Range and the body's length do not agree. Send the piece again.")
    result = keeping_photos.keep_piece(
        here.database,
        here.photos,
        here.clock,
        here.settings,
        caller(),
        sha256,
        content,
        first=first,
        total=total,
    )
    if isinstance(result, int):
        response = jsonify({"sha256": sha256, "received": result, "complete": False})
        response.status_code = 202
        return response
    return _kept(result)


@photo_blueprint.route("/<string:sha256>/received", methods=["GET"], parameters=[SHA_PARAMETER])
@signed_in
@photo_blueprint.doc(summary="How much of a photo has arrived", operationId="getReceived")
@photo_blueprint.response(200, ReceivedRead)
@photo_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_received(sha256: str) -> Response:
    """How much of a photo has arrived, so that a phone goes on where the signal broke off."""
    name = _known_name(sha256)
    n_bytes, complete = keeping_photos.received(world().database, caller(), name)
    return jsonify({"sha256": name, "received": n_bytes, "complete": complete})


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
