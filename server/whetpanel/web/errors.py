"""One table from our refusals to status codes, one JSON shape (RFC 9457) for everything that fails."""

from http import HTTPStatus
from typing import Any

import marshmallow as ma
import structlog
from flask import Flask, Response, jsonify, request
from sqlalchemy.exc import OperationalError
from werkzeug.exceptions import HTTPException, MethodNotAllowed, TooManyRequests

from .. import errors
from .fields import listed, needed_words, whole, words

log = structlog.get_logger()

TABLE: dict[type[errors.Refusal], tuple[int, str]] = {
    errors.Invalid: (422, "invalid"),
    errors.NotFound: (404, "not_found"),
    errors.Blind: (403, "blind"),
    errors.NotAllowed: (403, "not_allowed"),
    errors.NotSignedIn: (401, "not_signed_in"),
    errors.WrongSignIn: (401, "wrong_sign_in"),
    errors.TooManyTries: (429, "too_many"),
    errors.PreconditionMissing: (428, "precondition_missing"),
    errors.PreconditionFailed: (412, "precondition_failed"),
    errors.NotReady: (409, "not_ready"),
    errors.Conflict: (409, "conflict"),
    errors.TooLarge: (413, "too_large"),
}

HTTP_CODES = {
    400: "malformed", 401: "not_signed_in", 403: "not_allowed", 404: "not_found", 405: "not_allowed_here",
    409: "conflict", 412: "precondition_failed", 413: "too_large", 415: "unsupported_media", 422: "invalid",
    428: "precondition_missing", 429: "too_many", 500: "server_error", 503: "unavailable",
}  # fmt: skip

HTTP_DETAILS = {
    400: "The request cannot be read. Send JSON as the API description says.",
    404: "There is nothing at this address.",
    405: "This address does not take that method; the Allow header names those it takes.",
    413: "The request is larger than the service takes at once.",
    415: "Send JSON, with Content-Type: application/json.",
    500: "Something went wrong on our side. Nothing was stored; try again later.",
    503: "The service is busy. Nothing was stored; try again shortly.",
}


class FieldProblem(ma.Schema):
    """One refused field."""

    field = words(400, required=True)
    message = words(1000, required=True)


class Problem(ma.Schema):
    """RFC 9457 problem details. ``current`` is the record as it stands, where versions disagree."""

    type = words(200, required=True)
    title = words(200, required=True)
    status = whole(400, 599, required=True)
    detail = needed_words(1000)
    code = needed_words(40)
    errors = listed(ma.fields.Nested(FieldProblem), 1000)
    current = ma.fields.Dict()


def problem(
    status: int,
    code: str,
    detail: str,
    *,
    fields: list[dict[str, str]] | None = None,
    current: dict[str, Any] | None = None,
    headers: dict[str, str] | None = None,
) -> Response:
    """An answer that says what went wrong and what to do."""
    body: dict[str, Any] = {
        "type": f"about:blank#{code}",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        "code": code,
    }
    if fields:
        body["errors"] = fields
    if current is not None:
        body["current"] = current
    response = jsonify(body)
    response.status_code = status
    response.content_type = "application/problem+json"
    for name, value in (headers or {}).items():
        response.headers[name] = value
    if status == 401:
        response.headers["WWW-Authenticate"] = "Bearer"
    return response


def refusal_response(error: errors.Refusal) -> Response:
    """Our own refusals."""
    status, code = next(TABLE[kind] for kind in type(error).__mro__ if kind in TABLE)
    fields = None
    if isinstance(error, errors.Invalid):
        fields = [{"field": item.field, "message": item.message} for item in error.errors]
    if isinstance(error, errors.NotReady):
        fields = [{"field": "", "message": block} for block in error.blocks]
    headers = {}
    if isinstance(error, errors.TooManyTries):
        headers["Retry-After"] = str(error.retry_after_s)
    current = getattr(error, "current", None)
    if current is not None:
        headers["ETag"] = f'"{current["version"]}"'
    return problem(status, code, error.detail, fields=fields, current=current, headers=headers)


def flat(messages: Any, path: str = "") -> list[dict[str, str]]:
    """Marshmallow's nested messages as a list of fields, each with its path."""
    if isinstance(messages, dict):
        found = []
        for name, inner in messages.items():
            part = str(name)
            if part in ("value", "_schema") and path:
                found += flat(inner, path)
            elif part == "_schema":
                found += flat(inner, "")
            else:
                found += flat(inner, f"{path}.{part}" if path else part)
        return found
    if isinstance(messages, list | tuple):
        return [item for inner in messages for item in flat(inner, path)]
    return [{"field": path, "message": str(messages)}]


def http_response(error: HTTPException) -> Response:
    """Everything Flask and webargs raise."""
    status = error.code or 500
    headers: dict[str, str] = {}
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        headers["Allow"] = ", ".join(sorted(error.valid_methods))
    if isinstance(error, TooManyRequests) and error.retry_after is not None:
        headers["Retry-After"] = str(error.retry_after)
    messages = (getattr(error, "data", None) or {}).get("messages")
    if status == 422 and messages:
        inner = {key: value for location in messages.values() for key, value in _as_dict(location).items()}
        return problem(
            422, "invalid", "Some fields cannot be taken. Mend them and send again.", fields=flat(inner)
        )
    if status == 400 and messages:
        return problem(400, "malformed", HTTP_DETAILS[400])
    detail = HTTP_DETAILS.get(status) or error.description or HTTPStatus(status).phrase
    return problem(status, HTTP_CODES.get(status, "refused"), detail, headers=headers)


def _as_dict(messages: Any) -> dict[str, Any]:
    return messages if isinstance(messages, dict) else {"_schema": messages}


def busy_response(error: OperationalError) -> Response:
    """The database cannot be reached or stayed locked: nothing was committed, so the phone may try again."""
    log.warning("database_unavailable", error=str(error.orig))
    return problem(503, "unavailable", HTTP_DETAILS[503], headers={"Retry-After": "2"})


def unexpected_response(error: Exception) -> Response:
    """A mistake of ours."""
    log.error("unexpected", exc_info=error, path=request.path, method=request.method)
    return problem(500, "server_error", HTTP_DETAILS[500])


def register(app: Flask) -> None:
    """Let every way of failing end in one of the answers above."""
    app.register_error_handler(errors.Refusal, refusal_response)
    app.register_error_handler(OperationalError, busy_response)
    app.register_error_handler(HTTPException, http_response)
    app.register_error_handler(Exception, unexpected_response)
