"""A test card photographed with a phone: read, and kept as a photograph of the job."""

from pathlib import Path
from tempfile import TemporaryDirectory

from coatwright import units
from coatwright.actions.cards.reading import CardRead, Kind, read_card
from coatwright.actions.shop import Shop
from coatwright.errors import InputError
from coatwright.record.events import Event, Photographed, said


def card_photographed(
    shop: Shop, key: str, who: str, photo: bytes, asked: tuple[Kind, str, str]
) -> tuple[CardRead, Event]:
    """What the card says, and the event that keeps its photograph.

    asked: burst or pass, key of the gun, distance as written. Raises InputError, with no path in
    it, if the photograph cannot be read.
    """
    kind, name, distance = asked
    guns = {one.key: one for one in shop.open(key).bench.job.workshop.guns}
    away = units.parse(distance, "length") if distance.strip() else None
    with TemporaryDirectory() as folder:
        path = Path(folder) / "photograph"
        path.write_bytes(photo)
        try:
            read = read_card(str(path), kind, guns.get(name), away)
        except InputError as fault:
            raise InputError(fault.what, field="photo", instead=fault.instead) from None
    title = guns[name].title if name in guns else "gun not named"
    verdict = "even" if read.sound and not read.faults else ", ".join(x.title for x in read.faults)
    body = Photographed(caption=f"test card, {kind}, {title}: {verdict}")
    event = said(key, who, shop.clock(), body)
    held = shop.record.attach(photo, "test-card.jpg")
    return read, shop.write(event.model_copy(update={"evidence": (held,)}))
