"""The use cases of the shelf: yarns with their dye lots, and the swatches made of them.

A yarn, its lots and its swatches are one thing with one version.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, delete, select

from service.bodies import SwatchIn, YarnIn
from service.errors import NotFoundError, UnreadableError, check_version
from service.models import Yarn, YarnLot, YarnSwatch
from service.planning import swatch_of, yarn_of
from service.shelfbodies import (
    LotIn,
    LotOut,
    ShelfSwatchIn,
    ShelfYarnIn,
    SwatchOnShelf,
    YarnOnShelf,
)
from sizing.gauge import gauge_for

_TWICE = "This colour and lot stand there twice. Put their balls together."


@dataclass(frozen=True, slots=True)
class Shelved:
    """A yarn on the shelf with its lots as they were put there, and its swatches by name."""

    row: Yarn
    lots: tuple[YarnLot, ...]
    swatches: tuple[YarnSwatch, ...]

    @property
    def yarn(self) -> YarnIn:
        """Return the yarn as an order takes it, in its first lot."""
        lot = self.lots[0].lot if self.lots else ""
        return YarnIn.model_validate({**self.row.details, "lot": lot})


def shelved_out(one: Shelved) -> YarnOnShelf:
    """Return a yarn on the shelf for the wire."""
    return YarnOnShelf(
        id=one.row.id or 0,
        version=one.row.version,
        yarn=one.yarn,
        lots=[LotOut.model_validate(lot) for lot in one.lots],
        swatches=[
            SwatchOnShelf(id=s.id or 0, name=s.name, swatch=SwatchIn.model_validate(s.details))
            for s in one.swatches
        ],
    )


def _all_shelved(session: Session, rows: Sequence[Yarn]) -> list[Shelved]:
    """Return yarns with what belongs to them, asked for all of them at once."""
    ids = [row.id for row in rows]
    lots = select(YarnLot).where(col(YarnLot.yarn_id).in_(ids))
    swatches = select(YarnSwatch).where(col(YarnSwatch.yarn_id).in_(ids))
    lots_of, swatches_of = defaultdict(list), defaultdict(list)
    for lot in session.exec(lots.order_by(col(YarnLot.id))):
        lots_of[lot.yarn_id].append(lot)
    for one in session.exec(swatches.order_by(col(YarnSwatch.name), col(YarnSwatch.id))):
        swatches_of[one.yarn_id].append(one)
    return [
        Shelved(row, tuple(lots_of[row.id or 0]), tuple(swatches_of[row.id or 0])) for row in rows
    ]


def _shelved(session: Session, row: Yarn) -> Shelved:
    return _all_shelved(session, [row])[0]


def shelf(session: Session) -> list[Shelved]:
    """Return the yarns by name."""
    query = select(Yarn).order_by(col(Yarn.name), col(Yarn.id))
    return _all_shelved(session, session.exec(query).all())


def _yarn_row(session: Session, yarn_id: int, *, lock: bool) -> Yarn:
    row = session.get(Yarn, yarn_id, with_for_update=lock, populate_existing=lock)
    if row is None:
        message = "That yarn is not on the shelf. Choose another."
        raise NotFoundError(message)
    return row


def yarn_on_shelf(session: Session, yarn_id: int) -> Shelved:
    """Return one yarn of the shelf.

    Raises:
        NotFoundError: if there is none of that number.
    """
    return _shelved(session, _yarn_row(session, yarn_id, lock=False))


def _yarn_to_change(session: Session, yarn_id: int, version: int | None) -> Yarn:
    """Return a yarn to change, at the version that was seen, locked until it is changed."""
    row = _yarn_row(session, yarn_id, lock=True)
    changed = "The yarn was changed meanwhile. Load it again, then change it."
    check_version(version, row.version, changed)
    return row


def _lots_told(asked: ShelfYarnIn) -> list[LotIn]:
    """Return the lots to keep, each once.

    Raises:
        UnreadableError: naming the first of them that stands there twice.
    """
    lots = asked.lots or ([LotIn(lot=asked.lot)] if asked.lot else [])
    seen = set()
    for place, one in enumerate(lots):
        if (one.colour, one.lot) in seen:
            raise UnreadableError(_TWICE, {f"lots.{place}.lot": _TWICE})
        seen.add((one.colour, one.lot))
    return lots


def _keep(session: Session, row: Yarn, asked: ShelfYarnIn) -> None:
    """Keep a yarn and its lots; a lot that is still told keeps its row."""
    yarn_of(asked)
    lots = _lots_told(asked)
    row.name = asked.name
    row.details = asked.model_dump(mode="json", exclude={"lots", "lot"})
    session.add(row)
    session.flush()
    kept = {(lot.colour, lot.lot): lot for lot in _shelved(session, row).lots}
    for one in lots:
        key = (one.colour, one.lot)
        lot = kept.pop(key, None) or YarnLot(yarn_id=row.id or 0, **one.model_dump())
        lot.balls = one.balls
        session.add(lot)
    for gone in kept.values():
        session.delete(gone)
    session.flush()


def put_yarn(session: Session, asked: ShelfYarnIn) -> Shelved:
    """Put a yarn on the shelf.

    Raises:
        ValueOutOfRangeError: if there can be no such yarn.
        UnreadableError: if a lot stands there twice.
    """
    row = Yarn(name=asked.name, details={}, version=1)
    _keep(session, row, asked)
    return _shelved(session, row)


def add_yarn(session: Session, yarn: YarnIn) -> Shelved:
    """Put a yarn that an order describes on the shelf; its balls are not counted."""
    return put_yarn(session, ShelfYarnIn.model_validate(yarn.model_dump()))


def change_yarn(
    session: Session, yarn_id: int, asked: ShelfYarnIn, version: int | None
) -> Shelved:
    """Change a yarn and its lots; orders keep the yarn that they were taken with.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        ValueOutOfRangeError, UnreadableError: as `put_yarn`.
    """
    row = _yarn_to_change(session, yarn_id, version)
    row.version += 1
    _keep(session, row, asked)
    return _shelved(session, row)


def remove_yarn(session: Session, yarn_id: int, version: int | None) -> None:
    """Take a yarn off the shelf with its lots and swatches; orders keep theirs.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
    """
    row = _yarn_to_change(session, yarn_id, version)
    session.exec(delete(YarnLot).where(col(YarnLot.yarn_id) == yarn_id))
    session.exec(delete(YarnSwatch).where(col(YarnSwatch.yarn_id) == yarn_id))
    session.delete(row)
    session.flush()


def choices(kept: Iterable[Shelved]) -> dict[str, YarnIn]:
    """Return what an order can be made of, by the value of the choice: each yarn in each lot."""
    found = {}
    for one in kept:
        for lot in one.lots or (None,):
            key = f"{one.row.id}.{lot.id}" if lot else f"{one.row.id}"
            found[key] = one.yarn.model_copy(update={"lot": lot.lot if lot else ""})
    return found


def add_swatch(
    session: Session, yarn_id: int, asked: ShelfSwatchIn, version: int | None
) -> Shelved:
    """Keep a swatch with its yarn.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        ValueOutOfRangeError: if no swatch of this yarn can be so.
    """
    row = _yarn_to_change(session, yarn_id, version)
    swatch = SwatchIn.model_validate(asked.model_dump(exclude={"name"}))
    gauge_for(yarn_of(_shelved(session, row).yarn), swatch_of(swatch))
    name = asked.name or (f"{asked.hook_mm:g} mm" if asked.hook_mm else "swatch")
    row.version += 1
    details = swatch.model_dump(mode="json")
    session.add_all([row, YarnSwatch(yarn_id=yarn_id, name=name, details=details)])
    session.flush()
    return _shelved(session, row)


def remove_swatch(session: Session, yarn_id: int, swatch_id: int, version: int | None) -> Shelved:
    """Take a swatch away from its yarn.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
    """
    row = _yarn_to_change(session, yarn_id, version)
    swatch = session.get(YarnSwatch, swatch_id)
    if swatch is None or swatch.yarn_id != yarn_id:
        message = "That swatch is not kept with this yarn. It may be gone already."
        raise NotFoundError(message)
    row.version += 1
    session.add(row)
    session.delete(swatch)
    session.flush()
    return _shelved(session, row)
