"""coatwright card and coatwright fan: the test card to print, and the fan on its photograph."""

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.actions.cards import CardRead, FootprintRead
    from coatwright.faces.cli.output import Printer


class Paper(StrEnum):
    """Papers the card is drawn on."""

    a4 = "A4"
    letter = "Letter"


Target = Annotated[Path, typer.Argument(metavar="FILE", help="SVG file to write.")]
PaperOption = Annotated[Paper, typer.Option("--paper", help="Paper it is printed on.")]
Photos = Annotated[
    list[Path], typer.Argument(metavar="PHOTO...", help="JPEG or PNG photographs of cards.")
]
Pass = Annotated[bool, typer.Option("--pass", help="The gun was passed over it, not held still.")]
JobOption = Annotated[
    str | None, typer.Option("--job", metavar="JOB", help="Job file in which the gun stands.")
]
GunOption = Annotated[str | None, typer.Option("--gun", metavar="GUN", help="Key of the gun.")]
Distance = Annotated[
    str | None, typer.Option("--distance", help='From gun to card, with its unit: "15 cm".')
]
Keep = Annotated[
    bool, typer.Option("--keep", help="Write the footprint into the job file; fan wide open.")
]

_CARE = (
    "Spraying a card is spraying: the mask, the extraction and the sparks that the paint's "
    "sheets speak of count here too. No card says that a gun is safe."
)
_ROWS = (
    ("length", "fan length"), ("width", "fan width"), ("across", "exponent along its length"),
    ("along", "exponent across it"), ("tilt", "turned by"), ("x", "middle, right of the cross"),
    ("y", "middle, below the cross"), ("ends", "ends over middle"),
    ("top", "fuller end over the other"), ("side", "fuller side over the other"),
    ("bow", "ends bent aside"), ("spots", "specks for each dm²"), ("small", "of its own footprint"),
    ("hidden", "paper hidden"), ("residual", "off an even fan"),
)  # fmt: skip


@app.command(short_help="Draw the test card to print.")
def card(file: Target, paper: PaperOption = Paper.a4) -> None:
    """Draw the test card to print.

    Writes one page as SVG. Print it at 100 %, on matt paper that the paint stands out from, and
    check its 50 mm bar with a rule. An existing file is overwritten.

    \b
    How to use the card:
      1. Tape it flat where overspray does no harm. Write gun, tip, pressure
         and distance into its fields.
      2. Burst: hold the gun square to it, aim at the cross, fan lying along
         the arrows, and pull the trigger for a moment.
         Pass: cover both strips to the dashed lines, and move straight down.
         Stop while the paper still shows through.
      3. Dab the same paint into the ring till it hides.
      4. Photograph all of it from above in even light, then run
         'coatwright fan' on the photograph.

    \b
    Examples:
      coatwright card card.svg
      coatwright card card.svg --paper Letter

    \b
    Exit codes:
      0  written
      2  the file cannot be written
    """
    from coatwright.actions import cards
    from coatwright.faces.drawing.card import card_svg

    try:
        file.write_text(card_svg(cards.card(paper.value)), encoding="utf-8")
    except OSError as fault:
        raise typer.BadParameter(f"cannot write {file}: {fault.strerror}.") from None
    typer.echo(f"Wrote {file}. Print it at 100 % on {paper.value}. {_CARE}")


@app.command(short_help="Read the fan off photographs of test cards.")
def fan(
    photos: Photos,
    passed: Pass = False,
    job: JobOption = None,
    gun: GunOption = None,
    distance: Distance = None,
    keep: Keep = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Read the fan off photographs of test cards.

    Prints length, width and profile of the fan, each with its spread, and what is wrong with its
    pattern: likely causes and cures are common practice. With --job, --gun and --distance it
    tells the gun's footprint as the cards show it, for the job file; --keep writes it there, and
    all else in the file stays as it was. Spray two or three cards: their mean is taken.

    \b
    Examples:
      coatwright fan card.jpg
      coatwright fan card.jpg --pass
      coatwright fan a.jpg b.jpg --job roadster.toml --gun colour-gun \\
        --distance "15 cm"

    \b
    Exit codes:
      0  a sound fan
      1  the pattern has a fault that is to be mended first
      2  the gun stands in no job, or its distance is missing
      3  a photograph cannot be read: the sentence says what to do
      4  no such gun
    """
    from coatwright import units as measures
    from coatwright.actions import cards

    if (gun or keep) and (job is None or distance is None):
        raise typer.BadParameter("--gun and --keep need --job and --distance.")
    away = None if distance is None else measures.parse(distance, "length")
    own = None if job is None else cards.gun_of(job, gun)
    kind: Literal["burst", "pass"] = "pass" if passed else "burst"
    read = [cards.read_card(str(photo), kind, own, away) for photo in photos]
    sound = all(one.sound for one in read)
    found = None
    if own is not None and away is not None and sound:
        found = cards.footprint_from(read, own, away)
        if keep and job is not None:
            cards.keep_footprint(job, found)
    _tell(read, found, keep, json, Words(units.value))
    if not sound:
        raise typer.Exit(codes.FINDINGS)


def _tell(
    read: "list[CardRead]", found: "FootprintRead | None", kept: bool, json: bool, words: Words
) -> None:
    if json:
        from coatwright.faces.arranged.machine import as_json

        shown = [
            {"photo": one.photo, "kind": one.kind, "measures": one.measures, "faults": one.faults,
             "notes": one.notes}
            for one in read
        ]  # fmt: skip
        typer.echo(as_json({"cards": shown, "footprint": found}, words))
        return
    from coatwright.faces.cli.output import Printer

    out = Printer(words)
    for one in read:
        _tell_card(one, out)
    if found is not None:
        _tell_footprint(found, kept, out)
    out.say("")
    out.say(_CARE)


def _tell_card(one: "CardRead", out: "Printer") -> None:
    out.heading(f"{one.photo}, a {one.kind} on {one.paper}")
    out.pairs(
        (name, out.words.text(one.measures[key])) for key, name in _ROWS if key in one.measures
    )
    out.listed(one.notes)
    if not one.faults:
        out.say("No fault is seen in its pattern.", 2)
    for fault in one.faults:
        out.heading(("" if fault.sure else "Perhaps ") + fault.title)
        out.pairs(
            (
                ("measure", out.words.text(fault.measure)),
                ("causes", "; ".join(fault.causes)),
                ("cures", "; ".join(fault.cures)),
                ("how to tell", fault.check),
                ("source", fault.source),
            )
        )


def _tell_footprint(found: "FootprintRead", kept: bool, out: "Printer") -> None:
    out.heading(f"Footprint of {found.title}")
    out.pairs((name, out.words.text(figure)) for name, figure in found.spreads.items())
    out.listed(found.notes)
    out.say("It stands in the job file now:" if kept else "In the job file:", 2)
    typer.echo(f"  {found.line}")  # in one piece, to be copied
