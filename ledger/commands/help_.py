"""weighbook help [season-folder | COMMAND …]"""

from __future__ import annotations

import click

from ledger.commands.shared import show_lines

_TOPIC = "season-folder"


@click.command("help", short_help="What a season folder holds; help on a command.")
@click.argument("words", metavar="[season-folder | COMMAND]", nargs=-1)
@click.pass_context
def help_(ctx: click.Context, words: tuple[str, ...]) -> None:
    """Explain a command, or the files of a season folder: every file, column, kind
    of entry and league setting, with its type, default and an example.

    Example: weighbook help season-folder
    """
    if words == (_TOPIC,):
        from ledger.say.season_folder import season_folder_lines

        show_lines(season_folder_lines())
        return
    here = ctx.find_root()
    for word in words:
        group = here.command
        names = group.list_commands(here) if isinstance(group, click.Group) else []
        found = group.get_command(here, word) if isinstance(group, click.Group) else None
        if found is None:
            from ledger.suggest import did_you_mean

            meant = did_you_mean(word, [_TOPIC, *names])
            ctx.fail(f"No help on '{' '.join(words)}'. {meant}".strip())
        here = click.Context(found, info_name=word, parent=here)
    click.echo(here.command.get_help(here))
    if not words:
        click.echo(f"\nThe files of a season folder: weighbook help {_TOPIC}")
