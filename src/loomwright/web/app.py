"""The routes of the page. Heavy work stands in plain functions, which the server runs beside each other."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from typing import Any, Literal

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response, StreamingResponse

from loomwright.errors import ChangedMeanwhile, PlanError

from . import accepting, api_routes, building, changes, events, keeping, moving, playing, printing, start
from .board import FIRST, Wanted, board
from .choice_told import choice_stopped, choice_told
from .cured import cures_told
from .drafts import Keeper, NoDraftError
from .files import PlaceRefusedError
from .forms import deletion
from .grouping import SEVERITY
from .guard import Guard
from .mains import case_of
from .markup import fill, font_bytes, tokens_css
from .playing import played_of
from .slip import flips_markup
from .thing import KINDS, Thing
from .van import band_of
from .what_if_told import what_if_told
from .work import Moment, StaleError, UnreadableError, UnsavedError, Work
from .year_told import year_told

#: Makes what a page shows: the board, and what is told beside it.
Shown = Callable[[Moment, Wanted], dict[str, Any]]
_ACTS = changes.ACTS | accepting.ACTS | building.ACTS | keeping.ACTS | moving.ACTS | playing.ACTS
#: What a page asks beside the knobs of its question.
_NO_KNOBS = ("rev", "years", "evening")
#: Sheets that are printed apart from the book.
_Printed = Literal["loom", "board", "labels", "mains"]
_TYPES = {"js": "text/javascript", "css": "text/css", "svg": "image/svg+xml"}


def make_app(work: Work, keeper: Keeper | None = None) -> FastAPI:
    """Return the app that shows one table.

    Parameters
    ----------
    work : Work
        The plan on it.
    keeper : Keeper or None
        Keeps unsaved work aside; None keeps nothing.
    """
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.add_middleware(Guard)
    app.state.hub = hub = events.Hub()
    if keeper is not None:
        work.listen(keeper.hear)
    work.listen(hub.tell)

    def shown(moment: Moment, wanted: Wanted) -> dict[str, Any]:
        return board(moment, wanted) | start.beside(moment, keeper.trouble if keeper is not None else "")

    _add_pages(app, work, shown)
    _add_start(app, work)
    _add_changes(app, work, shown)
    api_routes.add_api(app)
    _add_answers_to_errors(app)

    @app.get("/events")
    async def listen_to_changes(request: Request) -> StreamingResponse:
        return StreamingResponse(hub.stream(request, lambda: work.now().rev), media_type="text/event-stream")

    return app


def _add_pages(app: FastAPI, work: Work, shown: Shown) -> None:
    @app.get("/", response_model=None)
    def page(sheet: str = FIRST, kind: str = "", id: str = "", mains: str = "") -> Response:
        moment = work.now()
        if not moment.begun:
            return RedirectResponse("/start", 303)
        wanted = Wanted(sheet, _thing(kind, id), mains=case_of(mains))
        return HTMLResponse(fill("page.html", board=shown(moment, wanted)))

    @app.get("/board")
    def show(
        sheet: str = FIRST,
        kind: str = "",
        id: str = "",
        evening: bool = False,
        by: str = SEVERITY,
        play: str = "",
        band: str = "",
        as_list: bool = False,
        month: str = "",
        mains: str = "",
    ) -> dict[str, Any]:
        played, case = played_of(play), case_of(mains)
        thing = _thing(kind, id)
        wanted = Wanted(sheet, thing, evening, by, played, band_of(band), as_list, month, case)
        return shown(work.now(), wanted)

    @app.get("/flips")
    def flips_of(kind: str, id: str) -> dict[str, Any]:
        reading = work.now().reading
        return {"html": flips_markup(reading, Thing(kind, id), lambda: work.now().reading is reading)}

    @app.get("/cures")
    def cures_of(rev: int, have: int = 0) -> dict[str, Any]:
        return cures_told(work, rev, have)

    @app.get("/year")
    def year_of(rev: int, have: int = -1) -> dict[str, Any]:
        return year_told(work, rev, have)

    @app.get("/choice")
    def choice_of(
        rev: int, have: int = -1, nights: str = "", budget: str = "", payload: str = "", roof: str = ""
    ) -> dict[str, Any]:
        typed = {"nights": nights, "budget": budget, "payload": payload, "roof": roof}
        return choice_told(work, rev, have, typed)

    @app.get("/what-if")
    def what_if(request: Request, rev: int, years: int = 100, evening: bool = False) -> dict[str, Any]:
        typed = {name: text for name, text in request.query_params.items() if name not in _NO_KNOBS}
        return what_if_told(work, rev, years, evening, typed)

    @app.post("/choice/stop")
    def stop_choice(_: dict[str, Any]) -> dict[str, Any]:
        return choice_stopped(work)

    @app.get("/deletion")
    def deletion_of(space: str, thing: str) -> dict[str, Any]:
        return {"html": deletion(work.now().reading, space, thing)}

    @app.get("/book")
    def book(rev: int) -> Response:
        moment = work.now()
        made = printing.book(moment, rev)
        return Response(made, media_type="application/pdf", headers=printing.headers(moment))

    @app.get("/print")
    def printed(rev: int, sheet: _Printed, paper: Literal["a4", "a3"] = "a4") -> Response:
        moment = work.now()
        made = printing.sheet(moment, rev, sheet, paper)
        return Response(made, media_type="application/pdf", headers=printing.headers(moment, sheet))

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


def _add_start(app: FastAPI, work: Work) -> None:
    @app.get("/start", response_class=HTMLResponse)
    def start_sheet() -> str:
        return start.sheet(work.now())

    @app.get("/start/picture")
    def picture(evening: bool = False) -> dict[str, str]:
        return {"drawing": start.picture(evening)}

    @app.get("/save")
    def save_dialog(name: str = "", folder: str = "") -> dict[str, str]:
        return {"dialog": keeping.dialog(work.now(), name, folder)}


def _add_changes(app: FastAPI, work: Work, shown: Shown) -> None:
    @app.post("/change/{act}")
    def change(act: str, asked: dict[str, Any]) -> dict[str, Any]:
        """Do one act on the plan and return the page as it is then."""
        if act not in _ACTS:
            raise changes.AskedWronglyError(f"There is no act {act}.")
        done = _ACTS[act](work, asked)
        wanted = asked.get("show", {})
        chosen = done.chosen or _thing(wanted.get("kind", ""), wanted.get("id", ""))
        see = Wanted(
            str(wanted.get("sheet", FIRST)),
            chosen,
            wanted.get("evening") is True,
            str(wanted.get("by", SEVERITY)),
            played_of(str(wanted.get("play", ""))),
            band_of(str(wanted.get("band", ""))),
            wanted.get("as_list") is True,
            str(wanted.get("month", "")),
            case_of(str(wanted.get("mains", ""))),
        )
        return shown(done.moment, see) | {"text": done.moment.text, "says": done.says}


def _add_answers_to_errors(app: FastAPI) -> None:
    @app.exception_handler(StaleError)
    def stale(_: Request, error: StaleError) -> JSONResponse:
        return JSONResponse({"says": str(error)}, 409)

    @app.exception_handler(UnsavedError)
    def unsaved(_: Request, error: UnsavedError) -> JSONResponse:
        return JSONResponse({"says": str(error), "unsaved": True}, 409)

    @app.exception_handler(PlaceRefusedError)
    @app.exception_handler(NoDraftError)
    def no_place(_: Request, error: PlaceRefusedError | NoDraftError) -> JSONResponse:
        return JSONResponse({"says": str(error)}, 422)

    @app.exception_handler(ChangedMeanwhile)
    def changed(_: Request, error: ChangedMeanwhile) -> JSONResponse:
        return JSONResponse({"says": str(error), "changed_meanwhile": True}, 409)

    @app.exception_handler(UnreadableError)
    def unreadable(_: Request, error: UnreadableError) -> JSONResponse:
        return JSONResponse({"says": str(error)}, 422)

    @app.exception_handler(printing.UnprintedError)
    def unprinted(_: Request, error: printing.UnprintedError) -> JSONResponse:
        return JSONResponse({"says": str(error)}, 500)

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


def _thing(kind: str, id: str) -> Thing | None:
    return Thing(kind, id) if kind in KINDS and id else None
