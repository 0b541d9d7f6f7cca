"""coatwright serve."""

import threading
import webbrowser
from pathlib import Path
from typing import Annotated

import typer

from coatwright.faces.cli.app import app

Folder = Annotated[
    Path | None,
    typer.Option("--folder", metavar="DIR", help="Folder of the record; else as it is set."),
]
Demo = Annotated[bool, typer.Option("--demo", help="With the invented demo job, kept apart.")]
Host = Annotated[str, typer.Option("--host", help="Address to listen at; 0.0.0.0 for phones.")]
Port = Annotated[int, typer.Option("--port", min=1, max=65535, help="Port to listen at.")]
Https = Annotated[bool, typer.Option("--https", help="With a certificate of the workshop's own.")]
Open = Annotated[bool, typer.Option("--open", help="Open it in the browser of this machine.")]


@app.command(short_help="The pages for phones and the desk, until stopped.")
def serve(
    folder: Folder = None,
    demo: Demo = False,
    host: Host = "127.0.0.1",
    port: Port = 8321,
    https: Https = False,
    open_it: Open = False,
) -> None:
    """Serve the pages of the shop, until stopped with Ctrl-C.

    Nothing has to be installed and nothing leaves the machine. Whoever reaches the address may
    read and write the record, so let only the workshop's own network in. Phones work by http too;
    by https they also keep the screen on and open the live day with the network down.

    \b
    Examples:
      coatwright serve --demo --open
      coatwright serve --host 0.0.0.0
      coatwright serve --host 0.0.0.0 --https

    \b
    Exit codes:
      0  stopped
      3  nothing can be served at that address and port
      8  the record cannot be kept there
    """
    from coatwright.faces.web import serving

    place = serving.Place(host, port, https)
    with serving.shop_in(serving.settings_for(folder, demo), demo) as shop:
        for line in serving.told(place):
            typer.echo(line)
        if open_it:
            threading.Timer(1.0, webbrowser.open, (place.urls[0],)).start()
        serving.serve(shop, place)
