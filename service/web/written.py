"""Answers written where they are worked out.

A model that a route returns is looked at once more and written by FastAPI, in a thread of its own
and on the one that serves all requests. Ours is right as it was made: `response_model` tells the
description of the API what it is, and the bytes are made here.
"""

from collections.abc import Mapping

from fastapi import Response
from pydantic import BaseModel

JSON = "application/json"


def written(
    told: BaseModel, status: int = 200, headers: Mapping[str, str] | None = None
) -> Response:
    """Return the answer that tells a model."""
    return Response(told.model_dump_json(), status, headers, JSON)
