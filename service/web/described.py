"""The API's description: worked out once in its lane, then answered from memory.

To work it out takes half a second or more of the processor, so the request that first asks for
it sleeps meanwhile, and the shop's pages go on.
"""

import json
from hashlib import sha256
from typing import Any

from fastapi import FastAPI, Request, Response

from service.errands import Errands, Lane
from service.web.dependencies import ErrandsOf
from service.web.parts import page_part

router = page_part()


class Description:
    """What the API can do, as OpenAPI tells it. A process has its own."""

    def __init__(self, app: FastAPI) -> None:
        """Work nothing out yet."""
        self._app = app
        self._written = b""

    def document(self, errands: Errands) -> dict[str, Any]:
        """Return the document, which the framework keeps once it is there."""
        return self._app.openapi_schema or errands.alone(Lane.TAKE_OUT, self._app.openapi)

    def written(self, errands: Errands) -> bytes:
        """Return the document as JSON."""
        if not self._written:
            self._written = errands.alone(Lane.TAKE_OUT, self._write)
        return self._written

    def _write(self) -> bytes:
        return json.dumps(self._app.openapi(), ensure_ascii=False, separators=(",", ":")).encode()


def description_of(request: Request) -> Description:
    """Return the description of the application that is asked."""
    described: Description = request.app.state.described
    return described


@router.api_route("/openapi.json", methods=["GET", "HEAD"])
def openapi(request: Request, errands: ErrandsOf) -> Response:
    """Describe the API for programs."""
    written = description_of(request).written(errands)
    tag = f'"{sha256(written).hexdigest()[:16]}"'
    headers = {"Cache-Control": "no-cache", "ETag": tag}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(written, media_type="application/json", headers=headers)
