"""weighbook case open|refer|say|exhibit|rule|close: what people state about a case"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from ledger.commands.note_question import note_is_fine_option, settle
from ledger.commands.shared import Command, opened, store_option, wrong

if TYPE_CHECKING:
    from ledger.review.cases import Case
    from ledger.review.stating import CaseWriter, Ruled


def stating_options(command: Command) -> Command:
    """--by, --at, --entered, --note, --chain, --note-is-fine and --store of a statement."""
    for option in (
        store_option,
        note_is_fine_option,
        click.option("--chain", help="Who writes: a device or an office (where the case is kept)."),
        click.option("--note", help="A remark; kept outside the chain, and can be erased."),
        click.option("--entered", metavar="TIME", help="When it was written down (now)."),
        click.option("--at", metavar="TIME", help="When it happened (now)."),
        click.option("--by", required=True, metavar="OFFICIAL", help="Who states it."),
    ):
        command = option(command)
    return command


def question_options(command: Command) -> Command:
    """--game, --team, --player and --number."""
    for name, text in (
        ("number", "The player's number there."),
        ("player", "The player's id."),
        ("team", "The team it is about."),
        ("game", "The game it is about."),
    ):
        command = click.option(f"--{name}", help=text)(command)
    return command


@click.command("open", short_help="Put a question to review.")
@click.argument("case_id", metavar="[CASE]", required=False)
@click.option("--reason", metavar="roster|weigh|plays|safety|protest|other", help="What it asks.")
@click.option("--from-finding", "rule", metavar="RULE", help="Ask what this finding asks.")
@question_options
@stating_options
def case_open(
    case_id: str | None, reason: str | None, rule: str | None, store: Path, chain: str | None,
    **cells: str | None,
) -> None:  # fmt: skip
    """Put a question to review, under CASE or an id that is proposed.

    From a finding: its reason, game, team and player are filled in, and a note
    says which finding it was. Says which way the question goes, and why.

    Example: weighbook case open --from-finding not_on_roster --game acorn-2b
    --by marmots-wm3
    """
    from ledger.review.stating import open_case

    if not reason and not rule:
        raise wrong(
            "no reason was given",
            "Say it with --reason, or --from-finding RULE: weighbook findings lists the rules.",
        )
    with _writer(store, chain, cells) as writer:
        if rule:
            cells = _from_finding(writer, rule, cells)
            reason = reason or cells.pop("reason")
        cells.pop("reason", None)
        done = open_case(writer, cells | {"reason": reason}, case_id=case_id)
        _say_route(writer, done.case_id, done.event_id)
    if done.alike:
        click.echo(f"The same was asked before: {', '.join(done.alike)}.")


@click.command("refer", short_help="Pass a case on to another role.")
@click.argument("case_id", metavar="CASE")
@click.option("--to", metavar="ROLE", help="Any role; the next reviewer, unless given.")
@stating_options
def case_refer(
    case_id: str, to: str | None, store: Path, chain: str | None, **cells: str | None
) -> None:
    """Pass a case on: to the next reviewer of the league's order, or to any role.
    Who is passed over stays visible.

    Example: weighbook case refer mixed-numbers --by quillowick-president
    """
    from ledger.commands.case_text import role_words, roles_list
    from ledger.review.cases import look_up_case
    from ledger.review.stating import refer_case

    role = to.strip().replace(" ", "_").replace("-", "_") if to else None
    with _writer(store, chain, cells) as writer:
        passed_to, event_id = refer_case(writer, case_id, cells | {"to": role})
        after = look_up_case(writer.store, case_id, with_findings=False)
    click.echo(f"Passed to the {role_words(passed_to)} as {event_id}.")
    if passed_to in [one.role for one in after.reviewers] and after.skipped:
        click.echo(f"Passed over, and it shows: {roles_list(after.skipped)}.")


@click.command("say", short_help="Add what somebody says about a case.")
@click.argument("case_id", metavar="CASE")
@stating_options
def case_say(case_id: str, store: Path, chain: str | None, **cells: str | None) -> None:
    """Add what somebody says about a case, in --note.

    Example: weighbook case say late-plays --by quokkas-coach2 --note "I sent
    the child in too early."
    """
    if not (cells["note"] or "").strip():
        raise wrong("nothing was said", "Give the words with --note TEXT.")
    _state_one("case_statement", case_id, cells, store, chain)


@click.command("exhibit", short_help="Hand in files: a play sheet, a photograph.")
@click.argument("case_id", metavar="CASE")
@click.argument(
    "files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option("--digest-only", is_flag=True, help="Keep the file's SHA-256, not the file.")
@stating_options
def case_exhibit(
    case_id: str, files: tuple[Path, ...], digest_only: bool, store: Path, chain: str | None,
    **cells: str | None,
) -> None:  # fmt: skip
    """Hand in files. The ledger keeps each, under its SHA-256, which also goes
    into the chain: nobody can swap it later.

    Use --digest-only for what a ledger must not keep, such as a doctor's note.
    The file's name is kept with it; let it name no child.

    Example: weighbook case exhibit late-plays sheet.pdf --by marmots-coach1
    """
    from ledger.review.stating import hand_in

    with _writer(store, chain, cells, () if digest_only else files) as writer:
        done = hand_in(writer, case_id, files, cells, digest_only=digest_only)
    for one in done:
        kept = "kept" if one.is_kept else "its SHA-256 is stated, the file is not kept"
        click.echo(f"{one.file.name}: {kept}, as {one.event_id}.")
        click.echo(f"  SHA-256 {one.sha256}")
        if not one.is_kept and not digest_only:
            click.echo("A redacted copy has taken its place.", err=True)


@click.command("rule", short_help="State a ruling.")
@click.argument("case_id", metavar="CASE")
@click.option("--value", required=True, metavar="upheld|denied|decided", help="The answer.")
@click.option("--may-play", metavar="full|second_half|none", help="What the player may play.")
@click.option("--may-carry", metavar="yes|no", help="Whether the player may carry the ball.")
@click.option("--close", is_flag=True, help="Close the case with it.")
@question_options
@stating_options
def case_rule(
    case_id: str, close: bool, store: Path, chain: str | None, **cells: str | None
) -> None:
    """State a ruling. With --may-play or --may-carry it decides what a player may
    do in a game, if one of the case's reviewers gives it; game, team and
    player are those of the question, unless given.

    Example: weighbook case rule wrong-mark --value upheld --may-carry yes --by
    site-glimmerfen
    """
    from ledger.review.stating import rule_case

    with _writer(store, chain, cells) as writer:
        done = rule_case(writer, case_id, cells, close=close)
    _say_ruling(done, cells["by"] or "")


@click.command("close", short_help="Close a case.")
@click.argument("case_id", metavar="CASE")
@stating_options
def case_close(case_id: str, store: Path, chain: str | None, **cells: str | None) -> None:
    """Close a case. What is said later is kept all the same.

    Example: weighbook case close late-plays --by acorn-president
    """
    case = _state_one("case_close", case_id, cells, store, chain)
    closings = [one for one in case.timeline if one.kind == "case_close" and not one.withdrawn_by]
    if len(closings) > 1:
        click.echo(f"It was closed before, by {closings[0].event_id}; both stay.", err=True)
    if not case.ruling:
        click.echo("It is closed without a ruling by one of its reviewers.", err=True)


STATING = (case_open, case_refer, case_say, case_exhibit, case_rule, case_close)


@contextmanager
def _writer(
    store: Path, chain: str | None, cells: Mapping[str, str | None], kept: Sequence[Path] = ()
) -> Iterator[CaseWriter]:
    """Where statements go, once the note is one to keep, and so are the names of kept files."""
    from ledger.commands.clock import league_zone
    from ledger.record.questions import question_about
    from ledger.record.times import zone
    from ledger.review.stating import CaseWriter

    with opened(store) as ledger:
        named = [one for file in kept for one in question_about("file name", file.name)]
        settle([*question_about("--note", cells.get("note")), *named])
        yield CaseWriter(ledger, zone(league_zone(ledger)), chain)


def _state_one(
    kind: Literal["case_statement", "case_close"],
    case_id: str,
    cells: dict[str, str | None],
    store: Path,
    chain: str | None,
) -> Case:
    from ledger.review.cases import look_up_case

    with _writer(store, chain, cells) as writer:
        event_id = writer.state(kind, case_id, cells)
        click.echo(f"Recorded as {event_id}.")
        return look_up_case(writer.store, case_id, with_findings=False)


def _from_finding(writer: CaseWriter, rule: str, cells: dict[str, str | None]) -> dict[str, Any]:
    """The cells with what the finding fills in; what was given stays."""
    from ledger.derive.asked import refuse_unknown
    from ledger.derive.engine import Engine
    from ledger.derive.scope import read_game, read_season
    from ledger.review.routes import question_of_finding

    game, number = cells["game"], cells["number"]
    refuse_unknown(writer.store, game=game, team=cells["team"])
    engine = Engine(read_game(writer.store, game) if game else read_season(writer.store))
    question = question_of_finding(
        engine,
        rule,
        game=game,
        team=cells["team"],
        player=cells["player"],
        number=int(number) if number and number.isdecimal() else None,
    )
    found = {"game": question.game, "team": question.team, "reason": question.reason}
    found["player"] = None if number else question.player
    note = " ".join(part for part in (cells["note"], question.note) if part)
    return found | {key: value for key, value in cells.items() if value} | {"note": note}


def _say_route(writer: CaseWriter, case_id: str, event_id: str) -> None:
    from ledger.commands.case_text import about, route_lines
    from ledger.commands.clock import local_text
    from ledger.review.cases import look_up_case
    from ledger.review.routes import propose_route

    case = look_up_case(writer.store, case_id, with_findings=False)
    zone = writer.zone.key
    whom = about(vars(case))
    click.echo(f"Opened {case_id} as {event_id}: {case.question}{f' about {whom}' * bool(whom)}.")
    order = [reviewer.role for reviewer in case.reviewers]
    for line in route_lines(propose_route(case.reason, order)):
        click.echo(line)
    click.echo(f"An answer is due by {local_text(str(case.due_at), zone)}.")
    if case.is_protest_late:
        until = local_text(str(case.protest_due_at), zone)
        click.echo(f"Protests about this game were due by {until}; it is recorded.", err=True)


def _say_ruling(done: Ruled, by: str) -> None:
    from ledger.commands.case_text import eligibility_words, roles_list

    click.echo(f"Recorded as {done.event_id}.")
    if done.filled:
        taken = ", ".join(f"{key} {text}" for key, text in done.filled.items())
        click.echo(f"Taken from the question: {taken}.")
    if not done.has_authority:
        reviewers = roles_list([one.role for one in done.case.reviewers])
        click.echo(
            f"{by} holds none of the roles that review this case ({reviewers}).\n"
            "The ruling is kept as a fact and becomes a finding; it changes nobody's\n"
            "eligibility. One of the reviewers may state it.",
            err=True,
        )
    if done.before or done.after:
        click.echo(f"Before: {eligibility_words(done.before)}.")
        click.echo(f"Now:    {eligibility_words(done.after)}.")
