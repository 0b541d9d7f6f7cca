"""coatwright air."""

from typing import TYPE_CHECKING

import typer

from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.conditions.air_plan import AirCard, AirHold, AirSpell
    from coatwright.planning.plan import Outlook, Plan


@app.command(short_help="Tell how to set the air and what of it holds.")
def air(
    job: options.Job,
    area: options.AreaOption = None,
    strict: options.Strict = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Tell how to set the air and how long it holds: pump, receiver, hose, gun.

    Prints for each gun what to set at the wall with the trigger pulled, how long the pressure
    holds and how long to rest, the same pump with other receivers, the one change that would
    help most, and the water to drain. With --area: each stroke recipe of that area, coat by
    coat, with how to cut a coat into sections that the air can carry.

    Air figures are computed from the job file's pump, hose and guns. A gauge at the gun with
    the trigger pulled, written into the job file, makes them those of your own line. "An hour
    or more" means that it was not followed further.

    \b
    Examples:
      coatwright air demo
      coatwright air demo --area bay-strips
      coatwright air roadster.toml --units us

    \b
    Exit codes:
      0  fine
      1  with --strict: in a recipe the gun has less pressure than it needs
      3  the file cannot be read, or has faults; all are listed
      4  no such area; the plan says nothing of air
    """
    from coatwright.actions import plans
    from coatwright.faces.arranged.outlook import air_cautions, outlook_of

    made = plans.plan_job(job, area)
    outlook = outlook_of(made)
    words = Words(units.value, made.currency)
    if json:
        from coatwright.faces.arranged.machine import as_json

        told = {"air_card": outlook.air_card, "air": outlook.air, "spells": outlook.spells}
        typer.echo(as_json(told, words))
    else:
        from coatwright.faces.cli.output import Printer

        out = Printer(words)
        if area is None:
            _tell_shop(made, outlook, out)
        else:
            for hold in outlook.air:
                _tell_hold(made, hold, out)
        out.cautions(air_cautions(made))
    if strict and not all(hold.enough for hold in outlook.air):
        raise typer.Exit(codes.FINDINGS)


def _tell_shop(made: "Plan", outlook: "Outlook", out: "Printer") -> None:
    if outlook.air_card is not None:
        _tell_card(outlook.air_card, out)
    _tell_falling(made, outlook, out)
    for spell in outlook.spells:
        _tell_spell(made, spell, out)


def _tell_card(card: "AirCard", out: "Printer") -> None:
    words, brief = out.words, out.words.brief
    out.heading("Set at the wall, with the trigger pulled")
    out.table(
        ("gun", "pulled", "released", "at the gun", "holds", "in strokes", "then rest"),
        (
            (
                gun.title, brief(gun.wall), brief(gun.wall_released), brief(gun.wanted),
                words.hold(gun.holds), words.hold(gun.strokes), words.hold(gun.rest),
            )
            for gun in card.guns
        ),
        keep=None,
    )  # fmt: skip
    out.say(card.summary)
    out.listed(f"{gun.title}: {gun.best}" for gun in card.guns)
    out.heading("The same pump with other receivers, and the gun that uses most air")
    out.table(
        ("receiver", "holds", "in strokes", "then rest"),
        (
            (
                brief(one.volume), words.hold(one.holds), words.hold(one.strokes),
                words.hold(one.rest),
            )
            for one in card.receivers
        ),
    )  # fmt: skip
    out.say(card.rule)
    out.heading("Water")
    out.listed(card.water.advice)


def _tell_falling(made: "Plan", outlook: "Outlook", out: "Printer") -> None:
    from coatwright.faces.arranged.outlook import hold_titles

    titles = hold_titles(made)
    falling = [hold for hold in outlook.air if not hold.steady]
    every = len(outlook.air)
    out.heading(
        f"In {len(falling)} of {every} stroke recipes the pressure falls below what is wanted"
        if falling else f"In none of {every} stroke recipes the pressure falls below what is wanted"
    )  # fmt: skip
    out.listed(f"{titles[hold.key]}: {hold.summary}" for hold in falling)


def _tell_spell(made: "Plan", spell: "AirSpell", out: "Printer") -> None:
    from coatwright.faces.arranged.contents import product_titles

    title = product_titles(made).get(spell.product, spell.product)
    out.heading(f"All coats of {title}, one after another")
    brief = out.words.brief
    out.pairs(
        (
            ("takes", f"{brief(spell.seconds)}, trigger pulled {brief(spell.trigger)}"),
            ("pump runs", f"{brief(spell.duty)} of it, {brief(spell.busiest)} of its busiest ten "
             f"minutes, allowed {brief(spell.allowed)}"),
            ("lowest", f"{brief(spell.lowest)} on {spell.lowest_area}"),
        )
    )  # fmt: skip
    out.say(spell.summary, 2)


def _tell_hold(made: "Plan", hold: "AirHold", out: "Printer") -> None:
    from coatwright.faces.arranged.outlook import hold_titles
    from coatwright.faces.drawing import pressure_rows

    words, brief = out.words, out.words.brief
    out.heading(f"{hold_titles(made)[hold.key]}, {hold.gun_title}")
    out.say(hold.summary, 2)
    out.pairs(
        (
            ("at the wall", f"{brief(hold.wall)} pulled, {brief(hold.wall_released)} released"),
            ("at the gun", f"{brief(hold.wanted)} wanted, {brief(hold.needed)} needed"),
            ("lowest", f"{brief(hold.lowest)} in {hold.lowest_coat.replace('-', ' ')}"),
            ("holds", f"{words.hold(hold.holds)} with the trigger never let go"),
            ("rest", words.hold(hold.rest)),
        )
    )
    rows = pressure_rows(hold, words)
    out.table(("coat", "lowest", "after", "mean", "lasts", "pump runs"), rows)
    if len(hold.sections) > 1:
        out.table(
            ("section", "strokes", "rest before", "lasts"),
            (
                (str(index), f"{one.first} to {one.last}", brief(one.rest_before),
                 brief(one.seconds))
                for index, one in enumerate(hold.sections, start=1)
            ),
        )  # fmt: skip
    out.listed(hold.advice)
    out.listed(
        f"{one.text}: holds {words.hold(one.holds)}, lowest {brief(one.lowest)}"
        for one in hold.changes
    )
