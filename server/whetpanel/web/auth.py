"""Who is calling: a session cookie from a browser, or a bearer token from a program."""

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from flask import Response, g, request

from ..errors import NotAllowed, NotSignedIn
from ..services.caller import Caller
from ..services.signing_in import identify
from .world import world

P = ParamSpec("P")
R = TypeVar("R")

COOKIE = "whetpanel_session"
SAFE = {"GET", "HEAD", "OPTIONS"}


def presented_token() -> str | None:
    """The token of this request, if it brings one."""
    scheme, _, value = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() == "bearer" and value.strip():
        return value.strip()
    return request.cookies.get(COOKIE)


def _by_bearer() -> bool:
    return request.headers.get("Authorization", "").lower().startswith("bearer ")


def signed_in(view: Callable[P, R]) -> Callable[P, R]:
    """Let only members through; the view finds the caller by ``caller()``."""

    @wraps(view)
    def inner(*args: P.args, **kwargs: P.kwargs) -> R:
        token = presented_token()
        if token is None:
            raise NotSignedIn("You are not signed in. Sign in; what is waiting on this phone stays.")
        here = world()
        identity = identify(here.database, here.clock, here.settings, token)
        if request.method not in SAFE and not _by_bearer() and request.headers.get("X-Whetpanel") != "1":
            # A browser sends the cookie along with a form of another site; it cannot send this header along.
            raise NotAllowed("Requests that change something need the header X-Whetpanel: 1.")
        g.caller = identity.caller
        return view(*args, **kwargs)

    return inner


def caller() -> Caller:
    """The member whose request this is."""
    return g.caller  # type: ignore[no-any-return]


def set_cookie(response: Response, token: str) -> None:
    """Hand the browser its session; scripts cannot read it, other sites cannot use it."""
    here = world()
    response.set_cookie(
        COOKIE,
        token,
        max_age=here.settings.session_days * 86_400,
        httponly=True,
        samesite="Strict",
        secure=here.settings.cookie_secure or request.is_secure,
        path="/api",
    )


def clear_cookie(response: Response) -> None:
    """Take the session back."""
    response.delete_cookie(COOKIE, path="/api", httponly=True, samesite="Strict")
