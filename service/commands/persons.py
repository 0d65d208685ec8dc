"""`forget`: one buyer erased, or those whom the shop's setting lets go."""

import argparse

from service.commands.opening import opened, settings_of
from service.errors import NotAllowedError, NotFoundError
from service.keeping.faults import KeepingError
from service.orders import utc_now
from service.persons.forgetting import forget, forget_due


def forget_some(arguments: argparse.Namespace) -> int:
    """Erase buyers, and say how many orders or buyers it was."""
    _, mail = settings_of(arguments.data)
    with opened(arguments.data) as database:
        if arguments.buyer is None:
            count = forget_due(database, mail.folder, utc_now())
            print(f"Erased, as the shop's setting has it: {count} buyers.")
            return 0
        try:
            done = forget(database, arguments.buyer, mail.folder, utc_now())
        except (NotAllowedError, NotFoundError) as error:
            raise KeepingError(str(error)) from error
    print(f"Erased, with the person in these orders: {', '.join(done.orders) or 'none'}.")
    return 0
