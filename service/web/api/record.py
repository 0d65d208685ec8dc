"""The record of finished hoods, on the wire."""

from service.record.bodies import RecordOut
from service.record.hoods import record
from service.web.dependencies import DatabaseOf
from service.web.parts import api_part

router = api_part("figures")


@router.get("/figures")
def show_figures(database: DatabaseOf) -> RecordOut:
    """Show what finished hoods took and earned beside what was planned."""
    with database.reading() as session:
        return record(session)
