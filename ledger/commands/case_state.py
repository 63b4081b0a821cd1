"""weighbook case open|refer|say|exhibit|rule|close: what people enter about a case"""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import answered, note_is_fine_option
from ledger.commands.choices import Words
from ledger.commands.shared import Command, opened, store_option
from ledger.commands.typed import GAME, TEAM, with_typed

if TYPE_CHECKING:
    from ledger.actions.cases import Opened, Ruled


def stating_options(command: Command) -> Command:
    """--by, --at, --entered, --note, --chain, --note-is-fine and --store, for an entry."""
    for option in (
        store_option,
        note_is_fine_option,
        click.option("--chain", help="The device or office that records (default: the case's)."),
        click.option("--note", help="A remark. Kept outside the chain; it can be erased."),
        click.option("--entered", metavar="TIME", help="When it was written down (default: now)."),
        click.option("--at", metavar="TIME", help="When it happened (default: now)."),
        click.option(
            "--by", required=True, metavar="OFFICIAL", help="The official who reports it."
        ),
    ):
        command = option(command)
    return command


def question_options(command: Command) -> Command:
    """--game, --team, --player and --number."""
    for name, kind, text in (
        ("number", None, "The player's number in that game."),
        ("player", None, "The player's id."),
        ("team", TEAM, "The team it is about."),
        ("game", GAME, "The game it is about."),
    ):
        command = click.option(f"--{name}", type=kind, help=text)(command)
    return command


@click.command("open", short_help="Put a question to review.")
@click.argument("case_id", metavar="[CASE]", required=False)
@click.option("--reason", type=Words("case_open", "reason"), help="What the question is.")
@click.option("--from-finding", "rule", metavar="RULE", help="Ask about this finding.")
@question_options
@stating_options
def case_open(
    case_id: str | None, rule: str | None, store: Path, chain: str | None, **cells: str | None
) -> None:
    """Put a question to review. Name it CASE, or leave CASE out to get an id.

    --from-finding fills in the reason, game, team and player, and a note that
    names the finding. The output says who hears the question first, and why.

    Example: weighbook case open --from-finding not_on_roster --game acorn-2b
    --by marmots-wm3
    """
    from ledger.actions.cases import open_case
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        cells = with_typed(ledger, "case_open", cells)
        done = answered(partial(open_case, ledger, cells, case_id=case_id, rule=rule), chain)
        zone = league_zone(ledger)
    _say_opened(done, zone)


@click.command("refer", short_help="Pass a case on to another role.")
@click.argument("case_id", metavar="CASE")
@click.option(
    "--to",
    type=Words("case_refer", "to"),
    metavar="ROLE",
    help="Any role (default: the next reviewer).",
)
@stating_options
def case_refer(
    case_id: str, to: str | None, store: Path, chain: str | None, **cells: str | None
) -> None:
    """Pass a case on: to the next reviewer in the league's order, or to any role.
    The ledger shows which reviewers were skipped.

    Example: weighbook case refer mixed-numbers --by quillowick-president
    """
    from ledger.actions.cases import refer_case
    from ledger.record.authority import role_name

    with opened(store) as ledger:
        own = with_typed(ledger, "case_refer", cells) | {"to": to}
        done = answered(partial(refer_case, ledger, case_id, own), chain)
    click.echo(f"Passed to the {role_name(done.role)} as {done.event_id}.")
    if done.passed_over:
        click.echo(f"Skipped: {', '.join(map(role_name, done.passed_over))}.")


@click.command("say", short_help="Add what someone says about a case.")
@click.argument("case_id", metavar="CASE")
@stating_options
def case_say(case_id: str, store: Path, chain: str | None, **cells: str | None) -> None:
    """Add what someone says about a case, in --note.

    Example: weighbook case say late-plays --by quokkas-coach2 --note "I sent
    the child in too early."
    """
    from ledger.actions.cases import add_to_case

    with opened(store) as ledger:
        cells = with_typed(ledger, "case_statement", cells)
        done = answered(partial(add_to_case, ledger, case_id, cells), chain)
    click.echo(f"Recorded as {done.event_id}.")


@click.command("exhibit", short_help="Hand in files: a play sheet, a photo.")
@click.argument("case_id", metavar="CASE")
@click.argument(
    "files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option(
    "--digest-only", is_flag=True, help="Record the file's SHA-256, but do not keep the file."
)
@stating_options
def case_exhibit(
    case_id: str, files: tuple[Path, ...], digest_only: bool, store: Path, chain: str | None,
    **cells: str | None,
) -> None:  # fmt: skip
    """Hand in files. The ledger keeps each file and puts its SHA-256 in the chain,
    so nobody can swap it later.

    Use --digest-only for files that a ledger must not keep, such as a doctor's
    note. The file's name is kept too: leave children's names out of it.

    Example: weighbook case exhibit late-plays sheet.pdf --by marmots-coach1
    """
    from ledger.actions.cases import GivenFile, hand_in
    from ledger.store.kept_files import read_given

    with opened(store) as ledger:
        read = [GivenFile(file.name, read_given(file)) for file in dict.fromkeys(files)]
        cells = with_typed(ledger, "case_exhibit", cells)
        done = answered(
            partial(hand_in, ledger, case_id, read, cells, digest_only=digest_only), chain
        )
    for one in done:
        kept = "kept" if one.is_kept else "only its SHA-256 is recorded; the file is not kept"
        click.echo(f"{one.name}: {kept}, as {one.event_id}.")
        click.echo(f"  SHA-256 {one.sha256}")
        if not one.is_kept and not digest_only:
            click.echo("A redacted copy has replaced it.", err=True)


@click.command("rule", short_help="Enter a ruling.")
@click.argument("case_id", metavar="CASE")
@click.option("--value", required=True, type=Words("ruling", "value"), help="The answer.")
@click.option("--may-play", type=Words("ruling", "may_play"), help="How much the player may play.")
@click.option(
    "--may-carry", type=Words("ruling", "may_carry"), help="Whether the player may carry the ball."
)
@click.option("--close", is_flag=True, help="Close the case too.")
@question_options
@stating_options
def case_rule(
    case_id: str, close: bool, store: Path, chain: str | None, **cells: str | None
) -> None:
    """Enter a ruling. With --may-play or --may-carry, a ruling by one of the case's
    reviewers decides what a player may do in a game. Game, team and player come
    from the question unless you give them.

    Example: weighbook case rule wrong-mark --value upheld --may-carry yes --by
    site-glimmerfen
    """
    from ledger.actions.cases import rule_case

    with opened(store) as ledger:
        cells = with_typed(ledger, "ruling", cells)
        done = answered(partial(rule_case, ledger, case_id, cells, close=close), chain)
    _say_ruling(done, cells["by"] or "")


@click.command("close", short_help="Close a case.")
@click.argument("case_id", metavar="CASE")
@stating_options
def case_close(case_id: str, store: Path, chain: str | None, **cells: str | None) -> None:
    """Close a case. You can still add to it later.

    Example: weighbook case close late-plays --by acorn-president
    """
    from ledger.actions.cases import close_case

    with opened(store) as ledger:
        cells = with_typed(ledger, "case_close", cells)
        done = answered(partial(close_case, ledger, case_id, cells), chain)
    click.echo(f"Recorded as {done.event_id}.")
    if done.before:
        click.echo(f"It was already closed by {done.before}; both entries stay.", err=True)
    if not done.case.ruling:
        click.echo("No reviewer of this case has ruled on it.", err=True)


STATING = (case_open, case_refer, case_say, case_exhibit, case_rule, case_close)


def _say_opened(done: Opened, zone: str) -> None:
    from ledger.say.cases import about, route_lines
    from ledger.say.clock import local_time

    case = done.case
    subject = about(vars(case))
    asked = case.question + f" about {subject}" * bool(subject)
    click.echo(f"Opened {case.case_id} as {done.event_id}: {asked}.")
    for line in route_lines(done.route):
        click.echo(line)
    click.echo(f"An answer is due by {local_time(str(case.due_at), zone)}.")
    if case.is_protest_late:
        until = local_time(str(case.protest_due_at), zone)
        click.echo(
            f"Protests about this game were due by {until}. This one is recorded anyway.", err=True
        )
    if done.alike:
        click.echo(f"Already asked in: {', '.join(done.alike)}.")


def _say_ruling(done: Ruled, by: str) -> None:
    from ledger.record.authority import role_name
    from ledger.say.packets import eligible

    click.echo(f"Recorded as {done.event_id}.")
    if done.filled:
        taken = ", ".join(f"{key} {text}" for key, text in done.filled.items())
        click.echo(f"Filled in from the question: {taken}.")
    if not done.has_authority:
        reviewers = ", ".join(role_name(one.role) for one in done.case.reviewers)
        click.echo(
            f"{by} holds none of the roles that review this case ({reviewers}).\n"
            "The ruling is recorded and raises a finding, but it changes nothing about\n"
            "who may play or carry. A reviewer can enter it.",
            err=True,
        )
    if done.before or done.after:
        click.echo(f"Before: {eligible(done.before)}.")
        click.echo(f"Now:    {eligible(done.after)}.")
