"""The five calls that every kind of record answers: list, get, put, withdraw, versions."""

import re
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

import marshmallow as ma
from flask import Response, jsonify, request

from ..errors import Invalid
from ..services import reading, writing
from ..services.things import Thing
from .api import Blueprint
from .auth import caller, signed_in
from .schemas.common import ListQuery, Reason
from .world import world

ETAGS = {"ETag": {"schema": {"type": "string"}, "description": "The record's version, in quotes."}}
IF_MATCH = {
    "in": "header",
    "name": "If-Match",
    "description": "The version you change, in quotes, as the ETag gave it.",
    "schema": {"type": "string", "pattern": '^"[0-9]{1,9}"$'},
}
LINKS = {"Link": {"schema": {"type": "string"}, "description": "RFC 8288: the next page, if there is one."}}


def base_version() -> int | None:
    """The version named by If-Match, or None. Anything but one of our entity tags is refused."""
    header = request.headers.get("If-Match")
    if header is None:
        return None
    match = re.fullmatch(r'"([0-9]{1,9})"', header.strip())
    if match is None:
        raise Invalid('Give If-Match as one entity tag, such as "3".')
    return int(match.group(1))


def served(body: dict[str, Any], status: int = 200) -> Response:
    """A record with its entity tag."""
    response = jsonify(body)
    response.status_code = status
    response.headers["ETag"] = f'"{body["version"]}"'
    return response


def written(result: writing.Written) -> Response:
    """The answer to a write: 201 for a new record, 200 for a changed or unchanged one."""
    return served(result.body, 201 if result.outcome == "created" else 200)


def items(found: list[dict[str, Any]], next_cursor: str | None = None) -> Response:
    """A list, with a link to its next page."""
    response = jsonify({"items": found})
    if next_cursor is not None:
        query = {**request.args.to_dict(), "cursor": next_cursor}
        response.headers["Link"] = f'<{request.path}?{urlencode(query)}>; rel="next"'
    return response


def list_of(read: type[ma.Schema], name: str) -> ma.Schema:
    """The schema of a list."""
    fields: dict[str, Any] = {"items": ma.fields.List(ma.fields.Nested(read), required=True)}
    return ma.Schema.from_dict(fields, name=f"{name}List")()


def add_record_routes(
    blueprint: Blueprint,
    thing: Thing,
    read: type[ma.Schema],
    write: type[ma.Schema] | None,
    *,
    query: type[ma.Schema] = ListQuery,
    name: str,
    withdraw: bool = True,
) -> None:
    """Give a blueprint the calls of one kind of record. ``write`` None: the blueprint brings its own PUT."""
    path = "/<uuid:record_id>"

    @blueprint.route("", methods=["GET"])
    @signed_in
    @blueprint.doc(summary=f"List the club's {thing.words}s", operationId=f"list{name}s")
    @blueprint.arguments(query, location="query")
    @blueprint.response(200, list_of(read, name), headers=LINKS)
    @blueprint.alt_response(401, "DEFAULT_ERROR")
    def list_records(args: dict[str, Any]) -> Response:
        chosen = {key: str(value) for key in ("stone_id", "lot_id") if (value := args.get(key)) is not None}
        cursor = str(args["cursor"]) if args["cursor"] is not None else None
        page = reading.list_records(
            world().database,
            caller(),
            thing,
            limit=args["limit"],
            cursor=cursor,
            withdrawn=args["withdrawn"],
            **chosen,
        )
        return items(page.items, page.next_cursor)

    @blueprint.route(path, methods=["GET"])
    @signed_in
    @blueprint.doc(summary=f"One {thing.words} as it stands", operationId=f"get{name}")
    @blueprint.response(200, read, headers=ETAGS)
    @blueprint.alt_response(404, "DEFAULT_ERROR")
    def get_record(record_id: UUID) -> Response:
        return served(reading.get_record(world().database, caller(), thing, str(record_id)))

    @blueprint.route(f"{path}/versions", methods=["GET"])
    @signed_in
    @blueprint.doc(
        summary=f"Every state the {thing.words} has had, the oldest first", operationId=f"list{name}Versions"
    )
    @blueprint.response(200, list_of(read, f"{name}Version"))
    @blueprint.alt_response(404, "DEFAULT_ERROR")
    def list_versions(record_id: UUID) -> Response:
        return items(reading.record_versions(world().database, caller(), thing, str(record_id)))

    if write is not None:

        @blueprint.route(path, methods=["PUT"], parameters=[IF_MATCH])
        @signed_in
        @blueprint.doc(
            summary=f"Write a {thing.words}; sending it again is harmless", operationId=f"put{name}"
        )
        @blueprint.arguments(write)
        @blueprint.response(200, read, headers=ETAGS, description="Changed, or the same write again")
        @blueprint.alt_response(201, schema=read, headers=ETAGS, description="Created")
        @blueprint.alt_response(409, "DEFAULT_ERROR")
        @blueprint.alt_response(412, "DEFAULT_ERROR")
        @blueprint.alt_response(428, "DEFAULT_ERROR")
        def put_record(fields: dict[str, Any], record_id: UUID) -> Response:
            here = world()
            recorded_at = fields.pop("recorded_at")
            return written(
                writing.put_record(
                    here.database, here.clock, caller(), thing, str(record_id), fields,
                    recorded_at=recorded_at, base_version=base_version(),
                )
            )  # fmt: skip

    if withdraw:

        @blueprint.route(f"{path}/withdraw", methods=["POST"], parameters=[IF_MATCH])
        @signed_in
        @blueprint.doc(
            summary=f"Take a {thing.words} out of use; it stays readable", operationId=f"withdraw{name}"
        )
        @blueprint.arguments(Reason)
        @blueprint.response(200, read, headers=ETAGS)
        @blueprint.alt_response(404, "DEFAULT_ERROR")
        @blueprint.alt_response(412, "DEFAULT_ERROR")
        def withdraw_record(fields: dict[str, Any], record_id: UUID) -> Response:
            here = world()
            return written(
                writing.withdraw_record(
                    here.database, here.clock, caller(), thing, str(record_id), fields["reason"],
                    base_version=base_version(),
                )
            )  # fmt: skip
