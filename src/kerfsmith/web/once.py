"""A program's request is done once, however often it is sent with the same ``Idempotency-Key``."""

import hashlib
from collections.abc import Awaitable, Callable
from datetime import timedelta

from fastapi import FastAPI, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse

from kerfsmith.web.pages.sign_in.gate import name_of
from kerfsmith.web.program_stage import ProgramStage
from kerfsmith.workflow.once_ports import KeptAnswer

HEADER = "idempotency-key"
KEPT_FOR = timedelta(days=7)
"""How long an answer is kept; a program that sends again later is taken as asking anew."""
_CHANGES = frozenset({"POST", "PUT", "PATCH", "DELETE"})
_LONGEST_KEY = 200
_LONGEST_BODY = 1_000_000
_NOBODY = "program"

CallNext = Callable[[Request], Awaitable[Response]]


def do_once(app: FastAPI, stage: ProgramStage) -> None:
    """Answer what is sent again with a key from what was kept."""

    @app.middleware("http")
    async def once(request: Request, call_next: CallNext) -> Response:
        key = request.headers.get(HEADER, "")
        if not key or request.method not in _CHANGES or not request.url.path.startswith("/api/"):
            return await call_next(request)
        if len(key) > _LONGEST_KEY or not key.isprintable():
            return _problem(400, "The key is too long or holds odd signs.", "Send up to 200 plain signs.")
        person = name_of(request, _NOBODY)
        digest = _digest(request, await request.body())
        await run_in_threadpool(stage.answers.forget_before, stage.now() - KEPT_FOR)
        known = await run_in_threadpool(stage.answers.begin, person, key, digest, stage.now())
        if known is not None:
            return _again(known, digest)
        return await _first_time(stage, request, call_next, person, key)


def _digest(request: Request, body: bytes) -> str:
    whole = hashlib.sha256(f"{request.method} {request.url.path}?{request.url.query}\n".encode())
    whole.update(body)
    return whole.hexdigest()


def _again(known: KeptAnswer, digest: str) -> Response:
    if known.digest != digest:
        return _problem(
            422, "This key came with another request before.", "Give each request a key of its own."
        )
    if known.status is None:
        what = "This request was begun before and has no answer: it is being worked on, or was broken off."
        return _problem(409, what, "Look whether it was done; if not, send it with a new key.")
    return Response(known.body, known.status, {"Idempotency-Replayed": "true"}, known.media)


async def _first_time(
    stage: ProgramStage, request: Request, call_next: CallNext, person: str, key: str
) -> Response:
    try:
        answer = await call_next(request)
        body = b"".join([part async for part in answer.body_iterator])  # type: ignore[attr-defined]  # streamed
    except BaseException:
        # What went wrong inside was rolled back by its transaction; it may be tried again.
        await run_in_threadpool(stage.answers.forget, person, key)
        raise
    if answer.status_code >= 500 or len(body) > _LONGEST_BODY:
        await run_in_threadpool(stage.answers.forget, person, key)
    else:
        media = answer.headers.get("content-type", "application/json")
        await run_in_threadpool(stage.answers.finish, person, key, answer.status_code, media, body)
    head = {name: value for name, value in answer.headers.items() if name != "content-length"}
    return Response(body, answer.status_code, head)


def _problem(status: int, problem: str, remedy: str) -> JSONResponse:
    return JSONResponse({"problem": problem, "remedy": remedy}, status)
