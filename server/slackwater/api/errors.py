"""How does an error leave by the web door? One shape, its status from one table."""

from __future__ import annotations

import logging
import re
from dataclasses import asdict
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from slackwater.api.guards import SECURITY_HEADERS
from slackwater.errors import HTTP_STATUS, Busy, EditConflict, InputFaults, SlackwaterError

_log = logging.getLogger(__name__)
MOST_TOLD, MOST_OF_ONE = 20, 500
"""Faults of one request, and characters of each; an answer is no longer for a longer request."""
UNFORESEEN = "Something went wrong here; the log says what."
STORE_BUSY = "The database is busy; try again in a moment."
STORE_FAILED = "The database cannot be reached or failed; nothing was kept. The log says more."
_WORDS = {403: "forbidden", 404: "not_found", 405: "method_not_allowed", 413: "too_large"}


def error_answer(status: int, code: str, message: str, **more: Any) -> JSONResponse:
    """Give an error as every caller sees it; ``more`` says where it lies, for some."""
    body = {"code": code, "message": message, **more}
    # a 401 must name a way to show who one is; this one makes no browser ask by itself (RFC 9110)
    asks = {"WWW-Authenticate": 'Bearer realm="Slackwater"'} if status == 401 else {}
    return JSONResponse({"error": body}, status, headers={**SECURITY_HEADERS, **asks})


def handle_errors(app: FastAPI) -> None:
    """Let every error of the app leave in the one shape."""
    app.add_exception_handler(SlackwaterError, _of_slackwater)
    app.add_exception_handler(RequestValidationError, _of_request)
    app.add_exception_handler(HTTPException, _of_http)
    app.add_exception_handler(Exception, _of_anything_else)


def status_of(error: SlackwaterError) -> int:
    """Give the HTTP status of an error, by its nearest class in the table."""
    return next((HTTP_STATUS[kind] for kind in type(error).__mro__ if kind in HTTP_STATUS), 500)


def code_of(error: SlackwaterError) -> str:
    """Give the word for programs: the error's class."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "_", type(error).__name__).lower()


def answer_of(error: SlackwaterError) -> JSONResponse:
    """Give the answer that tells of an error."""
    more: dict[str, Any] = {}
    if isinstance(error, InputFaults):
        more["findings"] = [fault.as_dict() for fault in error.faults]
    if isinstance(error, EditConflict):
        more["conflicts"] = [asdict(conflict) for conflict in error.conflicts]
    told = str(error)
    if error.of_store:
        _log.error("the database did not do what it was asked", exc_info=error)
        told = STORE_BUSY if isinstance(error, Busy) else STORE_FAILED
    return error_answer(status_of(error), code_of(error), told, **more)


def _of_slackwater(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, SlackwaterError)
    return answer_of(error)


def _of_request(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    found = error.errors()
    told = [
        f"{'.'.join(str(part) for part in each['loc'])}: {each['msg']}"[:MOST_OF_ONE]
        for each in found[:MOST_TOLD]
    ]
    if len(found) > MOST_TOLD:
        told.append(f"and {len(found) - MOST_TOLD:,} more")
    return error_answer(400, "bad_request", "; ".join(told))


def _of_http(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    code = _WORDS.get(error.status_code, "refused")
    return error_answer(error.status_code, code, str(error.detail))


def _of_anything_else(_: Request, error: Exception) -> JSONResponse:
    _log.error("an error nobody foresaw", exc_info=error)
    return error_answer(500, "internal", UNFORESEEN)
