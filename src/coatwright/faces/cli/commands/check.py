"""coatwright check."""

from itertools import groupby
from typing import TYPE_CHECKING

import typer

from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.planning.plan import Finding


@app.command(short_help="Find every fault of a job file at once.")
def check(
    job: options.Job,
    strict: options.Strict = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Find every fault of a job file and its product sheets at once.

    Nothing is computed. Each fault names file, line and field, what was found and what would be
    right. What the rules of the trade say of systems you chose yourself is listed too.

    \b
    Examples:
      coatwright check roadster.toml
      coatwright check roadster.toml --strict && coatwright plan roadster.toml

    \b
    Exit codes:
      0  no fault in the file
      1  with --strict: a system you chose has a fault
      3  the file cannot be read, or has faults; all are listed
    """
    from coatwright.actions import plans

    findings = plans.check_job(job)
    _tell(job, findings, Words(units.value), json)
    if strict and any(one.severity in ("fault", "ruin") for one in findings):
        raise typer.Exit(codes.FINDINGS)


def _tell(job: str, findings: "tuple[Finding, ...]", words: Words, json: bool) -> None:
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json({"job": job, "findings": findings}, words))
        return
    from coatwright.faces.cli.output import Printer

    out = Printer(words)
    out.say(f"{job}: no fault in the file.")
    if findings:
        out.heading("What the rules say of the systems you chose")
    for layer, told in groupby(findings, key=lambda one: one.layer):
        out.say(f"{layer}:", 2)
        for one in told:
            out.finding(one, 4)
