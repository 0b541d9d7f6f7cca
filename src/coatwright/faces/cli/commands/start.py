"""coatwright start."""

from pathlib import Path
from typing import Annotated

import typer

from coatwright.faces.cli.app import app

Target = Annotated[Path, typer.Argument(metavar="FILE", help="Job file to make; must not exist.")]
Title = Annotated[str, typer.Option("--title", help="Title of the job.")]
Demo = Annotated[bool, typer.Option("--demo", help="Copy the invented demo job instead.")]


@app.command(short_help="Make a job file to fill in.")
def start(file: Target, title: Title = "A new job", demo: Demo = False) -> None:
    """Make a job file to fill in.

    Writes a small, complete job file with remarks on what to measure and where to find the
    figures of your gun. Fill in your own areas, then run 'coatwright check'. An existing file is
    never overwritten.

    \b
    Examples:
      coatwright start roadster.toml --title "Roadster, open tub"
      coatwright start demo-copy.toml --demo

    \b
    Exit codes:
      0  written
      2  the file exists, or cannot be written
    """
    from coatwright.actions import plans

    text = plans.start_job(title, demo)
    try:
        with file.open("x", encoding="utf-8") as target:
            target.write(text)
    except FileExistsError:
        raise typer.BadParameter(
            f"{file} exists; it was left as it is. Choose another name."
        ) from None
    except OSError as fault:
        raise typer.BadParameter(f"cannot write {file}: {fault.strerror}.") from None
    typer.echo(f"Wrote {file}. Next: fill it in, then run: coatwright check {file}")
