"""The application object that the commands hang on, and the page `coatwright --help` shows."""

from typing import Annotated

import typer
from typer.core import TyperGroup

from coatwright import __version__
from coatwright.faces.cli import codes

_HELP = """Plan the painting of a restored vehicle from the shapes of its areas and the stroke of
the gun: what goes on what and why, how to set and move the gun, how thick each coat comes out,
how much paint it really takes, how to mix it, what to buy and what it costs.

A job is one TOML file that you write by hand: measure your areas with a tape, name your guns and
products, and let 'plan' do the sums. Every figure can be asked where it comes from.

\b
First steps:
  coatwright plan demo --html demo.html     see a whole (invented) plan
  coatwright start my-job.toml              a job file to fill in
  coatwright check my-job.toml              find every fault in it at once
  coatwright plan my-job.toml               the plan, here or as one HTML page
  coatwright today my-job.toml              what may be sprayed, hour by hour
  coatwright day my-job.toml                who does what when, on all days

Coatwright computes; it does not make anything safe. The data sheet and the safety sheet of each
tin, local rules and licensed practice decide.
"""

_EPILOG = f"""\b
Exit codes:
{codes.listed()}

\b
Environment:
  NO_COLOR   if set, no colour or bold in the output
  COLUMNS    width of tables when the terminal does not say
"""

# In the order in which a job goes, not of the alphabet.
COMMANDS = (
    "start", "check", "plan", "routes", "recipe", "mix", "air", "windows", "today", "day", "may",
    "note", "record", "cause", "paper", "card", "fan", "explain", "sheets", "schema", "serve",
)  # fmt: skip


class _Commands(TyperGroup):
    def list_commands(self, ctx: object) -> list[str]:  # noqa: ARG002 - the name is the library's
        return sorted(self.commands, key=COMMANDS.index)


app = typer.Typer(
    name="coatwright",
    cls=_Commands,
    help=_HELP,
    epilog=_EPILOG,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
)


def _print_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"coatwright {__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_print_version, is_eager=True, help="Print the version."
        ),
    ] = False,
) -> None:
    pass
