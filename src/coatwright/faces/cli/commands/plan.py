"""coatwright plan."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.plan import AreaPlan, Plan, StrokeRecipe

Page = Annotated[
    Path | None,
    typer.Option("--html", metavar="FILE", help="Write the whole plan as one HTML page."),
]
Days = Annotated[
    float,
    typer.Option(
        "--days",
        metavar="SECONDS",
        min=0,
        max=600,
        help="How long to look for good days of work; 0 leaves them out.",
    ),
]
Brief = Annotated[
    bool, typer.Option("--brief", help="Print one table of the areas instead of every recipe.")
]


@app.command(short_help="Compute the whole plan of a job.")
def plan(
    job: options.Job,
    area: options.AreaOption = None,
    html: Page = None,
    brief: Brief = False,
    weather: options.Weather = None,
    days: Days = 4.0,
    strict: options.Strict = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Compute the whole plan of a job: systems, strokes, film, paint, mixes, money.

    Prints what to do first, each area's systems and stroke recipes, the paint and how to mix it,
    what to buy, the cost as a range, air, windows and days in short, and the cautions. The HTML
    page holds the same and more: the section of every patch to scale, the film across the strokes,
    the pressure at the trigger, the window map, every day, and where each figure comes from. It
    needs no network and prints on A4. With --weather the plan looks at the hours of that table.

    \b
    Examples:
      coatwright plan demo
      coatwright plan roadster.toml --brief --html roadster.html
      coatwright plan roadster.toml --area engine-bay --units us
      coatwright plan roadster.toml --weather tomorrow.csv --html day.html
      coatwright plan roadster.toml --json > plan.json

    \b
    Exit codes:
      0  a plan was made
      1  with --strict: it holds a fault, or a recipe outside its bounds
      3  the file cannot be read, or has faults; all are listed
      4  no such area
      5  no system fits a patch
    """
    from coatwright.actions import plans

    made = plans.plan_job(job, area, options.path_of(weather), days or None)
    words = Words(units.value, made.currency)
    if html is not None:
        _write_page(made, html, units)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(made, words))
    else:
        from coatwright.faces.cli.output import Printer

        _tell(made, Printer(words), html, brief)
    if strict and _must_mend(made):
        raise typer.Exit(codes.FINDINGS)


def _write_page(made: "Plan", file: Path, units: options.Units) -> None:
    from coatwright.faces.html.page import render

    text = render(made, units.value)
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as fault:
        raise typer.BadParameter(f"cannot write {file}: {fault.strerror}.") from None


def _must_mend(made: "Plan") -> bool:
    layers = [layer for area in made.areas for patch in area.patches for layer in patch.layers]
    routes = [patch.route for area in made.areas for patch in area.patches]
    findings = [one for layer in layers for one in layer.findings]
    findings += [one for route in routes for one in route.findings]
    severe = any(one.severity in ("fault", "ruin") for one in findings)
    return severe or any(not recipe.within_bounds for recipe in made.recipes.values())


def _tell(made: "Plan", out: "Printer", html: Path | None, brief: bool) -> None:
    from coatwright.faces.arranged.contents import Page as Arranged

    text = out.words.text
    out.heading(made.title)
    if made.invented:
        out.say("Invented: vehicle, shop, people, prices and product values are made up.")
    areas = "1 area" if len(made.areas) == 1 else f"{len(made.areas)} areas"
    colour = f", colour {made.colour}" if made.colour else ""
    out.say(
        f"{text(made.surface)} to paint in {areas}{colour}. In the hand of: "
        f"{made.painter}. It comes to {text(made.cost.total)} with tax."
    )
    first = Arranged.of(made).first
    if first:
        out.heading("What to do first")
        out.todos(first)
    if brief:
        _tell_areas(made, out)
    for area in () if brief else made.areas:
        _tell_area(made, area, out)
    _tell_paint(made, out)
    _tell_money(made, out)
    _tell_outlook(made, out)
    _tell_days(made, out)
    out.cautions(made.cautions)
    if made.notes:
        out.heading("What this plan rests on")
        out.listed(made.notes)
    out.heading(
        f"The whole plan with its drawings: {html}" if html else
        "For the drawings, mixes and origins of the figures: add --html FILE"
    )  # fmt: skip


def _tell_areas(made: "Plan", out: "Printer") -> None:
    from coatwright.faces.arranged.contents import system_title

    words = out.words
    rows: list[tuple[str, str, str, str]] = []
    for area in made.areas:
        laid = dict.fromkeys((system_title(p), words.brief(p.film_total)) for p in area.patches)
        places = [(area.title, words.brief(area.surface)), *[("", "")] * (len(laid) - 1)]
        rows += [(*place, *system) for place, system in zip(places, laid, strict=True)]
    out.heading("What goes where")
    out.table(("area", "surface", "system", "dry film"), rows, keep=None)


def _tell_area(made: "Plan", area: "AreaPlan", out: "Printer") -> None:
    from coatwright.faces.arranged.contents import ground_title, recipes_of, system_title

    words = out.words
    out.heading(f"{area.title} [{area.key}]")
    out.say(f"{words.text(area.surface)}, {area.shape}, {area.orientation}, {area.access}.")
    for patch in area.patches:
        ground = f"{ground_title(patch)}, {words.brief(patch.share)}"
        chosen = "as you chose" if patch.chosen_by == "person" else "chosen by the rules"
        film = words.text(patch.film_total)
        out.say(
            f"On {ground}: {system_title(patch)} ({chosen}), {film} in all. "
            f"{patch.route.summary}", 2, 2,
        )  # fmt: skip
        findings = {one.rule: one for layer in patch.layers for one in layer.findings}
        findings |= {one.rule: one for one in patch.route.findings}
        for one in findings.values():
            if one.severity != "note":
                out.finding(one)
    for recipe in recipes_of(made, area):
        _tell_recipe(recipe, out)


def _tell_recipe(recipe: "StrokeRecipe", out: "Printer") -> None:
    words, brief = out.words, out.words.brief
    coats = words.counted(recipe.coats, "coat", "coats")
    strokes = words.counted(recipe.strokes, "stroke", "strokes")
    outside = "" if recipe.within_bounds else f" Outside the bounds: {recipe.shortfall}."
    out.say(
        f"{recipe.product}: {recipe.gun_title}, {brief(recipe.pressure)}, fan {brief(recipe.fan)}, "
        f"{brief(recipe.fluid)}; {brief(recipe.distance)} off at {brief(recipe.speed)}, pitch "
        f"{brief(recipe.pitch)}, {coats} of {strokes}. Film {words.text(recipe.dry_total)}; run "
        f"{words.chance(recipe.run_chance)}, light {words.chance(recipe.light_chance)}; "
        f"{words.text(recipe.paint)}.{outside}",
        2,
        4,
    )


def _tell_paint(made: "Plan", out: "Printer") -> None:
    words = out.words
    out.heading("Paint, ready to spray")
    out.table(
        ("product", "needed", "thinner", "cup", "mixes"),
        (
            (
                need.title,
                words.text(need.volume),
                words.brief(need.thinner_share),
                f"{words.brief(need.cup_seconds)} {need.cup}",
                " + ".join(words.brief(batch.volume) for batch in need.batches),
            )
            for need in made.products
        ),
        keep=1,
    )


def _tell_money(made: "Plan", out: "Printer") -> None:
    words = out.words
    out.heading("What to buy")
    out.table(
        ("item", "packs", "left over", "price"),
        (
            (
                one.title,
                " + ".join(f"{count} x {size}" for size, count in one.packs.items() if count),
                words.brief(one.left),
                words.text(one.price),
            )
            for one in made.purchases
        ),
        keep=1,
    )
    out.heading("What it costs")
    lines = [(one.title, words.text(one.amount)) for one in made.cost.lines if one.amount.value]
    sums = (("without tax", made.cost.net), ("tax", made.cost.tax), ("in all", made.cost.total))
    out.pairs([*lines, *((title, words.text(figure)) for title, figure in sums)])
    out.listed(made.cost.drivers)
    due = [(one.title, words.text(one.amount)) for one in made.cost.stages]
    out.pairs([("due before work begins", words.text(made.cost.deposit)), *due])


def _tell_days(made: "Plan", out: "Printer") -> None:
    """The days in short; their own command tells the rest."""
    if made.day is None:
        return
    from coatwright.faces.drawing.day import day_name

    out.heading("The days, in short")
    if made.day.clash is not None:
        out.say(made.day.clash.text)
        return
    out.pairs([(day_name(made.day, day), day.summary) for day in made.day.days])
    out.say(made.day.proof)
    out.say("More with: coatwright day.")


def _tell_outlook(made: "Plan", out: "Printer") -> None:
    """Air and windows in short; their own commands tell the rest."""
    if made.outlook is None:
        return
    from coatwright.faces.arranged.outlook import spot_titles
    from coatwright.faces.drawing.windows import describe_windows

    outlook = made.outlook
    out.heading("Air and windows, in short")
    if outlook.air_card is not None:
        out.say(outlook.air_card.summary, 2)
    falling = [hold for hold in outlook.air if not hold.steady]
    out.say(f"The pressure falls in {len(falling)} of {len(outlook.air)} stroke recipes.", 2)
    shown = outlook.windows.windows
    if shown:
        told = describe_windows(shown[:3], spot_titles(made), out.words)
        out.say(f"What lapses next: {told}", 2)
    out.say("More with: coatwright air, coatwright windows, coatwright today.", 2)
