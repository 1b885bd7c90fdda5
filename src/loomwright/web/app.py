"""The routes of the page. Heavy work stands in plain functions, which the server runs beside each other."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response, StreamingResponse

from loomwright.errors import ChangedMeanwhile, PlanError

from . import changes, events
from .board import FIRST, Wanted, board
from .guard import Guard
from .markup import fill, font_bytes, tokens_css
from .thing import KINDS, Thing
from .work import Moment, StaleError, UnreadableError, Work

_TYPES = {"js": "text/javascript", "css": "text/css", "svg": "image/svg+xml"}


def make_app(work: Work) -> FastAPI:
    """Return the app that shows one table.

    Parameters
    ----------
    work : Work
        The plan on it.
    """
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.add_middleware(Guard)
    hub = events.Hub()
    work.listen(hub.tell)
    _add_pages(app, work)
    _add_changes(app, work)
    _add_answers_to_errors(app)

    @app.get("/events")
    async def listen_to_changes(request: Request) -> StreamingResponse:
        return StreamingResponse(hub.stream(request, work.now().rev), media_type="text/event-stream")

    return app


def _add_pages(app: FastAPI, work: Work) -> None:
    @app.get("/", response_class=HTMLResponse)
    def page(sheet: str = FIRST, kind: str = "", id: str = "") -> str:
        shown = board(work.now(), _wanted(sheet, kind, id, False))
        return fill("page.html", board=shown)

    @app.get("/board")
    def show(sheet: str = FIRST, kind: str = "", id: str = "", evening: bool = False) -> dict[str, Any]:
        return board(work.now(), _wanted(sheet, kind, id, evening))

    @app.get("/text")
    def text() -> dict[str, Any]:
        return _text(work.now())

    @app.get("/tokens.css")
    def tokens() -> Response:
        return Response(tokens_css(), media_type="text/css")

    @app.get("/fonts/{name}")
    def font(name: str) -> Response:
        try:
            kept = {"Cache-Control": "max-age=3600"}
            return Response(font_bytes(name), media_type="font/woff2", headers=kept)
        except KeyError:
            return Response(status_code=404)

    @app.get("/static/{name}")
    def static(name: str) -> Response:
        kind = _TYPES.get(name.rpartition(".")[2])
        folder = files("loomwright.web").joinpath("static")
        if kind is None or name not in {file.name for file in folder.iterdir()}:
            return Response(status_code=404)
        return Response(folder.joinpath(name).read_bytes(), media_type=kind)


def _add_changes(app: FastAPI, work: Work) -> None:
    @app.post("/change/{act}")
    def change(act: str, asked: dict[str, Any]) -> dict[str, Any]:
        """Do one act on the plan and return the page as it is then."""
        moment, chosen = changes.ACTS[act](work, asked)
        wanted = asked.get("show", {})
        chosen = chosen or _thing(wanted.get("kind", ""), wanted.get("id", ""))
        return board(
            moment, Wanted(str(wanted.get("sheet", FIRST)), chosen, wanted.get("evening") is True)
        ) | {"text": moment.text}


def _add_answers_to_errors(app: FastAPI) -> None:
    @app.exception_handler(StaleError)
    def stale(_: Request, error: StaleError) -> JSONResponse:
        return JSONResponse({"says": str(error)}, 409)

    @app.exception_handler(ChangedMeanwhile)
    def changed(_: Request, error: ChangedMeanwhile) -> JSONResponse:
        return JSONResponse({"says": str(error), "changed_meanwhile": True}, 409)

    @app.exception_handler(UnreadableError)
    def unreadable(_: Request, error: UnreadableError) -> JSONResponse:
        return JSONResponse({"says": str(error)}, 422)

    @app.exception_handler(PlanError)
    def wrong(_: Request, error: PlanError) -> JSONResponse:
        problems = [
            {"line": p.line, "column": p.column, "at": p.path, "says": p.says} for p in error.problems
        ]
        return JSONResponse({"says": " ".join(p.says for p in error.problems[:3]), "problems": problems}, 422)

    @app.exception_handler(changes.AskedWronglyError)
    def asked_wrongly(_: Request, error: changes.AskedWronglyError) -> JSONResponse:
        return JSONResponse({"says": str(error)}, 422)

    @app.exception_handler(OSError)
    def refused(_: Request, error: OSError) -> JSONResponse:
        return JSONResponse({"says": f"{error.filename or 'The file'}: {error.strerror or error}."}, 507)


def _text(moment: Moment) -> dict[str, Any]:
    return {"rev": moment.rev, "text": moment.text, "file": moment.file}


def _wanted(sheet: str, kind: str, id: str, evening: bool) -> Wanted:
    return Wanted(sheet, _thing(kind, id), evening)


def _thing(kind: str, id: str) -> Thing | None:
    return Thing(kind, id) if kind in KINDS and id else None
