"""flask-smorest, set up as this service means it: RFC 9457 errors, strict JSON, one description."""

import json
from typing import Any

import flask_smorest
from flask import Flask, Request, request
from webargs.flaskparser import FlaskParser
from werkzeug.exceptions import BadRequest, HTTPException, UnsupportedMediaType

from .. import __version__
from ..errors import Invalid, TooLarge
from . import errors
from .world import world

MAX_DEPTH = 40


def _refuse_unstorable(value: Any, depth: int = 0) -> None:
    if depth > MAX_DEPTH:
        raise Invalid("The JSON is nested too deeply.")
    if isinstance(value, str):
        if "\x00" in value or any("\ud800" <= character <= "\udfff" for character in value):
            raise Invalid("Leave out control characters that cannot be stored.")
    elif isinstance(value, dict):
        for key, item in value.items():
            _refuse_unstorable(key, depth)
            _refuse_unstorable(item, depth + 1)
    elif isinstance(value, list):
        for item in value:
            _refuse_unstorable(item, depth + 1)


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is not JSON")


class Parser(FlaskParser):
    """Reads bodies as JSON in the sense of RFC 8259: NaN is not JSON, and some characters cannot be stored."""

    def load_json(self, req: Request, schema: Any) -> Any:
        if not req.is_json:
            raise UnsupportedMediaType
        try:
            body = json.loads(req.get_data(cache=True), parse_constant=_no_constant)
        except (ValueError, RecursionError):
            raise BadRequest from None
        _refuse_unstorable(body)
        return body


class Blueprint(flask_smorest.Blueprint):
    """A blueprint with our parser."""

    ARGUMENTS_PARSER = Parser()


class Api(flask_smorest.Api):
    """The API with our error shape in its description."""

    ERROR_SCHEMA = errors.Problem

    def _register_responses(self) -> None:
        # flask-smorest describes errors as plain JSON; ours are problem details and say so.
        self.DEFAULT_RESPONSE_CONTENT_TYPE = "application/problem+json"
        try:
            super()._register_responses()
        finally:
            del self.DEFAULT_RESPONSE_CONTENT_TYPE

    def handle_http_exception(self, error: HTTPException) -> Any:
        """Never used for its own shape: every way of failing goes through one file."""
        return errors.http_response(error)


def hold_json_to_its_limit() -> None:
    """Refuse a JSON body larger than the settings allow, before it is read."""
    most = world().settings.body_max_bytes
    if request.is_json and (request.content_length or 0) > most:
        raise TooLarge(f"The record is larger than {most} bytes. Split it or leave something out.")


def configure(app: Flask) -> Api:
    """Describe the API and prepare the extension."""
    app.config.update(
        API_TITLE="Whetpanel",
        API_VERSION=__version__,
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX="/api",
        API_SPEC_OPTIONS={
            "info": {
                "description": (
                    "Records are written by PUT under an id that the sender makes (UUIDv7). Sending again is "
                    "harmless; a changed record needs If-Match with its version. Times are RFC 3339 in UTC, "
                    "lengths mm, masses g."
                ),
                "license": {"name": "MIT"},
            },
            "components": {
                "securitySchemes": {
                    "cookie": {"type": "apiKey", "in": "cookie", "name": "whetpanel_session"},
                    "bearer": {"type": "http", "scheme": "bearer"},
                }
            },
            "security": [{"cookie": []}, {"bearer": []}],
        },
    )
    return Api(app)


def description(app: Flask) -> str:
    """The API's description as text: the snapshot that the phone's types are made from."""
    api = app.extensions["flask-smorest"]["apis"][""]["ext_obj"]
    return json.dumps(api.spec.to_dict(), indent=1) + "\n"
