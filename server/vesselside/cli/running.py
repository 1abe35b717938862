"""Commands that run the server and begin what is on it: serve, migrate, demo, brewery, enrol."""

import json
import signal
import threading

import click
from sqlalchemy.exc import DBAPIError

from vesselside import notifying, store
from vesselside.cli.ground import (
    EnvironmentFault,
    Found,
    app,
    begin,
    main,
    meant,
    of_brewery,
    publish,
    with_database,
)
from vesselside.library import demo
from vesselside.serving import Server
from vesselside.settings import Settings
from vesselside.store.base import schema
from vesselside.store.fold import faulty, projections
from vesselside.store.site import beginning, founding, people, presences, siting
from vesselside.store.site.secrets import PersonError

AT_START = 50
"""How many runs that a crash left unfolded are folded before serving; `migrate` folds all."""


@main.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--workers", default=2, show_default=True, type=click.IntRange(1, 64), help="Processes.")
@click.option(
    "--notices/--no-notices", default=True, help="Send notices from here too, or leave it to `worker`."
)
@with_database
def serve(host: str, workers: int, notices: bool) -> None:
    """Serve on VESSELSIDE_PORT (8000)."""
    settings = Settings.from_environment()
    for brewery, _ in founding.breweries():
        projections.catch_up(brewery, AT_START)
    click.echo(f"Serving on http://localhost:{settings.port}", err=True)
    if not founding.breweries():
        click.echo(f"There is no brewery here yet. Begin yours: {beginning_at(settings)}", err=True)
    store.release()
    Server(settings, host, workers, notices=notices).run()


def beginning_at(settings: Settings) -> str:
    """Where the first brewery is begun, the code that it takes in the address."""
    return f"http://localhost:{settings.port}/#/begin/{beginning.code_of(store.kept().keys)}"


@main.command()
@click.option("--once", is_flag=True, help="Send what is due now, and end.")
@with_database
def worker(once: bool) -> None:
    """Send notices to phones until told to stop. `serve` does so too; of all that run, one sends at a time."""
    settings = Settings.from_environment()
    if once:
        click.echo(f"{notifying.turn(app(), settings)} sent")
        return
    stop = threading.Event()
    for told in (signal.SIGTERM, signal.SIGINT):
        signal.signal(told, lambda *_: stop.set())
    notifying.work(app(), settings, stop)


@main.command()
def migrate() -> None:
    """Bring the database up to date, publish what the library has new, and fold again the runs this touches."""
    served = app()
    try:
        with served.app_context():
            schema.upgrade()
            for brewery, name in founding.breweries():
                presences.begin(store.book(brewery), store.now_ms())
                told = projections.administration(brewery)[1]
                siting.tell_vessels(store.book(brewery), told, store.now_ms())
                for left in publish(brewery):
                    click.echo(f"{name} has a {left.partition(' ')[0]} of its own: {left} is left out")
                # here and not in the first request, which would have no time for all the runs of a brewery
                projections.catch_up_all(brewery)
                for fault in faulty.every(brewery):
                    click.echo(f"{name}: {fault}")
    except schema.SchemaError as error:
        raise EnvironmentFault(str(error)) from error
    except DBAPIError as error:
        raise EnvironmentFault(f"The database cannot be used: {str(error.orig).strip()}") from error


@main.command("demo")
@click.option("--json", "as_json", is_flag=True, help="Print brewery and people as JSON.")
@with_database
def load_demo(as_json: bool) -> None:
    """Load the demo brewery: an invented place with a history. Loading it again changes nothing."""
    held = founding.breweries()
    if [name for _, name in held] not in ([], [demo.name()]):
        raise Found("This database has a brewery of its own; load the demo into an empty one.")
    told = demo.told(held[0][0]) if held else demo.load(store, store.now_ms())
    if as_json:
        click.echo(json.dumps(told, ensure_ascii=False))
        return
    click.echo(told["name"])
    for person in told["people"]:
        secrets = ", ".join(f"{kind} {person[kind]}" for kind in ("pin", "password") if kind in person)
        click.echo(f"  {person['id']:<10} {person['name']:<20} {person['role']:<8} {secrets}")


@main.command("brewery")
@click.argument("name")
@click.option("--another", is_flag=True, help="Begin one more beside those there are, and print its id.")
@of_brewery
@with_database
def name_brewery(name: str, another: bool) -> None:
    """Begin the brewery, to be called NAME, with the library that ships; or give the one there is that name."""
    try:
        called = people.checked_name(name)
    except PersonError as error:
        raise click.UsageError(str(error)) from error
    if another:
        click.echo(begin(called))
    elif founding.breweries():
        founding.rename_brewery(meant(), called)
    else:
        begin(called)


@main.command()
@click.argument("name")
@of_brewery
@with_database
def enrol(name: str) -> None:
    """Print a one-time code for a device to be called NAME; it is good for ten minutes."""
    try:
        click.echo(store.make_code(meant(), name))
    except PersonError as error:
        raise click.UsageError(str(error)) from error
