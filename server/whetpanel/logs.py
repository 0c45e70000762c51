"""Structured logs: one line a request, for people on a terminal or for machines as JSON."""

import logging
import time

import structlog
import uuid_utils
from flask import Response, current_app, g, request

log = structlog.get_logger()


def configure(log_format: str) -> None:
    """Set up structlog for the whole process. ``json`` gives one JSON object a line."""
    renderer = (
        structlog.processors.JSONRenderer()
        if log_format == "json"
        # The plain formatter: a prettier one would print the values of variables, and with them members' records.
        else structlog.dev.ConsoleRenderer(colors=False, exception_formatter=structlog.dev.plain_traceback)
    )
    structlog.configure(
        processors=[
            structlog.contextvars.merge_contextvars,
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            *([structlog.processors.format_exc_info] if log_format == "json" else []),
            renderer,
        ],
        wrapper_class=structlog.make_filtering_bound_logger(logging.INFO),
    )


def begin_request() -> None:
    """Note when the request came and give it an id to be found by."""
    g.started = time.perf_counter()
    structlog.contextvars.clear_contextvars()
    structlog.contextvars.bind_contextvars(request_id=str(uuid_utils.uuid7()))


def end_request(response: Response) -> Response:
    """One line for each API request: what was asked, by whom, how it ended, how long it took. Never a body."""
    if current_app.config["LOG_REQUESTS"] and request.path.startswith("/api/"):
        caller = g.get("caller")
        log.info(
            "request",
            method=request.method,
            path=request.path,
            status=response.status_code,
            ms=round((time.perf_counter() - g.started) * 1000, 1) if "started" in g else None,
            member=caller.member_id if caller is not None else None,
        )
    return response
