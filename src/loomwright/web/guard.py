"""Who may ask: this computer's own browser, from this program's own pages, and nobody else.

A foreign page can make a browser send requests to this address. It can't forge the Host it named or the
Origin it comes from, so both are held against the address that is served (RFC 9110, 7.2; the Fetch standard
of the WHATWG, Origin header; from memory).
"""

from __future__ import annotations

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: What a page may load and do: its own files, nothing from anywhere else, no script or style in its text.
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
_NAMES = ("127.0.0.1", "localhost")
_READING = ("GET", "HEAD", "OPTIONS")


class Guard:
    """Refuses foreign hosts and origins, and sets the headers of every answer."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or refuse it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        refused = _refusal(scope)
        if refused:
            await PlainTextResponse(refused, status_code=403, headers=HEADERS)(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        await self._app(scope, receive, send_guarded)


def _refusal(scope: Scope) -> str:
    """Return why a request is refused; empty if it is not."""
    headers = Headers(scope=scope)
    port = scope["server"][1] if scope.get("server") else None
    hosts = {name if port == 80 else f"{name}:{port}" for name in _NAMES}
    host = headers.get("host", "")
    if host not in hosts:
        return "This address is not served here."
    origin = headers.get("origin")
    if origin is not None and origin not in {f"http://{name}" for name in hosts}:
        return "Requests from other pages are refused."
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return "Requests from other pages are refused."
    if scope["method"] not in _READING and not headers.get("content-type", "").startswith("application/json"):
        return "Send JSON, with Content-Type: application/json."
    return ""
