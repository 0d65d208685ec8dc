"""The pages: server-rendered HTML that works without script."""

from fastapi import APIRouter

router = APIRouter(include_in_schema=False)
