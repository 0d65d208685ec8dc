"""The JSON API under /api/v1."""

from fastapi import APIRouter

from service.web.api import bench, orders, papers, plans, shop

router = APIRouter(prefix="/api/v1")
for part in (plans.router, orders.router, papers.router, shop.router, bench.router):
    router.include_router(part)
