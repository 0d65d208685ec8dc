"""What to do next, on the wire."""

from service.today import TaskOut, today
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.parts import api_part

router = api_part("today")


@router.get("/today")
def show_today(database: DatabaseOf, clock: ClockOf) -> list[TaskOut]:
    """Show what waits for the maker, the most pressing first."""
    with database.reading() as session:
        return today(session, clock().date())
