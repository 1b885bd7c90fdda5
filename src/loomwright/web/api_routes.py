"""Read, check, draw and print for other programs of this computer: JSON in, the library's own objects out.

Each request stands for itself: nothing is kept, and the plan on the table is neither read nor changed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse, Response

from loomwright import api
from loomwright.errors import NoSuchModeError, PlanError, Problem
from loomwright.plan.model import Plan
from loomwright.plan.nodes import to_data
from loomwright.plan.tree import from_data, parse

#: Longest body that is read. [bytes] A plan itself may hold half of it.
BODY_LIMIT = 1_000_000
MEDIA_TYPES = {"svg": "image/svg+xml", "dxf": "image/vnd.dxf", "pdf": "application/pdf"}

_ASKED = '{"text": "..."} with the text of a plan, or {"plan": {...}} with its tree'


class _AskedWronglyError(Exception):
    """A request is no JSON object, is too large, or lacks something; `status` is what it is answered with."""

    def __init__(self, says: str, status: int = 422) -> None:
        super().__init__(says)
        self.status = status


def add_api(app: FastAPI) -> None:
    """Add the four routes to an app."""
    for name, answer in (("read", read), ("check", check), ("draw", draw), ("book", book)):
        app.add_api_route(f"/api/{name}", _route(answer), methods=["POST"])


def read(asked: Mapping[str, Any]) -> Response:
    """Answer with the plan's tree as data, its values as they are written in the plan."""
    plan = _plan(asked)
    tree = parse(asked["text"]) if "text" in asked else from_data(asked["plan"])
    return JSONResponse({"title": plan.title, "plan": to_data(tree)})


def check(asked: Mapping[str, Any]) -> Response:
    """Answer with the report, as `loomwright check --json` prints it."""
    return JSONResponse(api.check(_plan(asked)).as_dict())


def draw(asked: Mapping[str, Any]) -> Response:
    """Answer with one sheet of paper as a file; how many there are is told in a header."""
    sheet, to, number = asked.get("sheet"), asked.get("to", "svg"), asked.get("number", 1)
    if sheet not in api.SHEETS or to not in api.FORMATS:
        raise _AskedWronglyError(
            f"sheet: one of {', '.join(api.SHEETS)}; to: one of {', '.join(api.FORMATS)}."
        )
    by = asked.get("by", "")
    if by and (sheet != "van" or by not in api.BANDS):
        raise _AskedWronglyError(f"by: for the van sheet, one of {', '.join(api.BANDS)}.")
    paper = asked.get("paper", "a4")
    if paper not in api.PAPERS:
        raise _AskedWronglyError(f"paper: one of {', '.join(api.PAPERS)}.")
    try:
        drawn = api.draw(_plan(asked), sheet, to, by=by, paper=paper, month=str(asked.get("month", "")))
    except NoSuchModeError as unknown:
        raise _AskedWronglyError(f"month: {unknown}.") from None
    if not drawn:
        raise _AskedWronglyError(f"sheet: this van has nothing for the sheet {sheet}.")
    if type(number) is not int or not 1 <= number <= len(drawn):
        raise _AskedWronglyError(f"number: a whole number from 1 to {len(drawn)}.")
    return Response(drawn[number - 1], media_type=MEDIA_TYPES[to], headers={"Sheets": str(len(drawn))})


def book(asked: Mapping[str, Any]) -> Response:
    """Answer with the van book as one PDF."""
    return Response(api.book(_plan(asked)), media_type=MEDIA_TYPES["pdf"])


def _route(answer: Callable[[Mapping[str, Any]], Response]) -> Callable[[Request], Any]:
    async def route(request: Request) -> Response:
        try:
            asked = _object(await _body(request))
            return await run_in_threadpool(answer, asked)
        except PlanError as unreadable:
            return JSONResponse({"problems": [_problem(one) for one in unreadable.problems]}, 422)
        except _AskedWronglyError as wrong:
            return JSONResponse({"says": str(wrong)}, wrong.status)

    return route


async def _body(request: Request) -> bytes:
    """Return the body, and read no more of it than is allowed."""
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > BODY_LIMIT:
            raise _AskedWronglyError(f"More than {BODY_LIMIT:,} bytes are not read.", 413)
    return bytes(body)


def _object(body: bytes) -> dict[str, Any]:
    try:
        asked = json.loads(body)
    except (ValueError, RecursionError):
        raise _AskedWronglyError("The body is not JSON.", 400) from None
    if not isinstance(asked, dict):
        raise _AskedWronglyError(f"Send a JSON object: {_ASKED}.")
    return asked


def _plan(asked: Mapping[str, Any]) -> Plan:
    text, tree = asked.get("text"), asked.get("plan")
    if isinstance(text, str) and "plan" not in asked:
        return api.read_text(text)
    if isinstance(tree, dict) and "text" not in asked:
        return api.read_data(tree)
    raise _AskedWronglyError(f"Send {_ASKED}.")


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "file": problem.file,
        "line": problem.line,
        "column": problem.column,
        "path": problem.path,
        "says": problem.says,
    }
