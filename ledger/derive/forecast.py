"""Forecast the minimum-plays rule for a game under way. Pure: events are read elsewhere.

For each player who is still short: the plays due, the snaps left (`snaps_left`), the share of these
that is needed, and the chance to get there at the player's present share. Late players, who have
only the second half, come first; within a group the lowest chance comes first.

The chance. A player in on x of n snaps has the present share x / n. Plays come in runs (a series, a
quarter), so n snaps say less than n independent ones: n / D(n), with D the `run_factor` of the
assumed correlation. With e = n / D(n) and w the weight of the assumed share:

    share   (w * assumed + x / D(n)) / (w + e)
    k       w + e, the independent snaps that the share rests on
    plays taken of R snaps left: beta-binomial with that share and the variance of R snaps in runs
            at an uncertain share: R p (1 - p) (D(R) k + R) / (k + 1)
    chance  the sum over R of P(R left) * P(at least the plays due of R)

Without runs this is the plain beta-binomial. If a share or the snaps left would be a guess, the row
has no chance, and says why.

Limits. "At the present share" means just that: a coach who now sends the player in more often makes
the true chance higher, which is the point of showing it. The halves are taken as independent of
each other and of the player's share. Counts entered late make a share look low. Overtime plays
count when recorded and are never expected.

Measured by `python -m tests.bench.calibration` (simulated games; no real counts were available):
- Games as assumed: chances differ from outcomes by up to 0.10 in a fifth (0.04 is noise); Brier
  score 0.11 to 0.12, against 0.25 for always giving the base rate.
- Drifting or similar shares, starters, no runs or long ones, steady or wild halves, looks by the
  clock: up to 0.12; Brier score 0.08 to 0.17, against 0.19 to 0.25. Long runs and similar shares
  make low chances too low (a group's mean by up to 0.08); no runs make all chances too cautious.
- Second-half players: 0.10 to 0.16 against 0.21 to 0.25, early in the season as late.
- The 80% interval contained the snaps left in 0.76 to 0.94 of looks; 0.68 to 0.81 in wild halves.
- If short players are sent in after the look, chances are up to 0.32 too low, as intended.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.derive.chances import beta_binomial_tail, run_factor, sum_of
from ledger.derive.forecast_rows import (
    BEHIND,
    DUE,
    ENDED,
    NOT_BEGUN,
    NOTHING_KNOWN,
    OVERTIME,
    TAKEN_AS_NOT_BEGUN,
    UNCOUNTED,
    GameForecast,
    MayPlay,
    PlayerDue,
    PlayerForecast,
    method_words,
    no_snaps_of,
    too_few,
)
from ledger.derive.snaps_left import (
    ASSUMED,
    Assumptions,
    HalfModel,
    SnapsLeft,
    fit_half,
    left_of_half,
    summary_of,
)

# The sum leaves out numbers of snaps left that are less likely than this.
NEGLIGIBLE = 1e-7

Plays = tuple[int, int, int]
"""Counts of half 1, half 2 and overtime."""
Snaps = tuple[int | None, int | None, int | None]
"""The same; None if not entered."""


@dataclass(frozen=True)
class PlayerNow(PlayerDue):
    """A player who may play and is not excused.

    plays: the latest counts, 0 if none was entered; None if the team has no plays line.
    missed: for may_play full, snaps of the game that were run before the player could play.
    """

    plays: Plays | None
    missed: int = 0

    @property
    def own(self) -> Plays:
        """The plays that count: those of halves 2 and 3 only for a second-half player."""
        first, second, overtime = self.plays or (0, 0, 0)
        return (first if self.may_play == "full" else 0, second, overtime)


@dataclass(frozen=True)
class GameNow:
    """A game as entered so far.

    snaps: the latest count of each half and overtime, None if not entered.
    ended: the halves entered as ended.
    past: the snaps of this season's finished halves of the same division, by half (1, 2).
    players: of both teams, short or not (each counted play was a snap).
    """

    @property
    def counted(self) -> list[Plays]:
        return [player.plays for player in self.players if player.plays is not None]

    snaps: Snaps
    ended: frozenset[int]
    past: Mapping[int, Sequence[int]]
    players: tuple[PlayerNow, ...]


def forecast_game(game: GameNow, assumed: Assumptions = ASSUMED) -> GameForecast:
    """Forecast every player of the game who is still short, late players first."""
    snaps = _snaps_at_least(game)
    models = {half: fit_half(game.past.get(half, ()), assumed) for half in (1, 2)}
    left, unknown = _left(game, snaps, models)
    rows = [
        _player(player, snaps, left.get(player.may_play), unknown, assumed)
        for player in game.players
        if player.plays is None or player.required > sum(player.own)
    ]
    rows.sort(key=_order)
    notes = [BEHIND] if snaps != game.snaps else []
    if left and 1 in game.ended and 2 not in game.ended and not snaps[1]:
        notes.append(TAKEN_AS_NOT_BEGUN)
    return GameForecast(tuple(rows), method_words(models, assumed, notes))


def chance_at_share(
    due: int, left: Sequence[float], plays: int, snaps: int, assumed: Assumptions = ASSUMED
) -> float:
    """Chance of `due` (>= 1) plays in the snaps left, for a player with `plays` of `snaps` (>= 1).

    `left`: pmf of the snaps left. 0 <= plays <= snaps.
    """
    factor = run_factor(snaps, assumed.run_correlation)
    rests_on = assumed.share_weight + snaps / factor
    share = (assumed.share_weight * assumed.share + plays / factor) / rests_on
    terms = []
    for count in range(due, len(left)):
        if left[count] > NEGLIGIBLE:
            rho = _correlation(count, rests_on, assumed.run_correlation)
            terms.append(left[count] * beta_binomial_tail(count, share, rho, due))
    return min(1.0, math.fsum(terms))


def _correlation(count: int, rests_on: float, run_correlation: float) -> float:
    """The rho that gives `count` snaps the variance named in the module docstring."""
    if count == 1:
        return 0.0
    widening = run_factor(count, run_correlation) * rests_on + count
    return (widening / (rests_on + 1) - 1) / (count - 1)


def _snaps_at_least(game: GameNow) -> Snaps:
    """The snaps entered, raised to the plays of any player with more: each play was a snap."""
    first, second, overtime = (
        None if snaps is None else max([snaps, *(plays[half] for plays in game.counted)])
        for half, snaps in enumerate(game.snaps)
    )
    return first, second, overtime


def _left(
    game: GameNow, snaps: Snaps, models: Mapping[int, HalfModel]
) -> tuple[dict[MayPlay, SnapsLeft], str]:
    """Snaps left for each kind of player, and why there is no chance ("" if there is one)."""
    begun = [bool(snaps[half]) or any(plays[half] for plays in game.counted) for half in range(3)]
    if begun[2]:
        return {}, OVERTIME
    if 2 in game.ended:
        nothing = summary_of([1.0])
        return {"full": nothing, "second_half": nothing}, ENDED
    if not any(begun) and 1 not in game.ended:
        return {}, NOT_BEGUN
    half = 2 if 1 in game.ended or begun[1] else 1
    run = snaps[half - 1]
    if run is None and begun[half - 1]:
        return {}, no_snaps_of(half)
    if not any(snaps) and not models[half].halves:
        return {}, NOTHING_KNOWN
    now = left_of_half(models[half], run or 0)
    if half == 2:
        rest = summary_of(now)
        return {"full": rest, "second_half": rest}, ""
    second = left_of_half(models[2], 0)
    return {"full": summary_of(sum_of(now, second)), "second_half": summary_of(second)}, ""


def _seen(player: PlayerNow, snaps: Snaps) -> tuple[int, int]:
    """Plays, and snaps while the player could play, over the halves with snaps entered."""
    plays = run = 0
    for half, own in enumerate(player.own):
        count = snaps[half]
        if count is not None and (half > 0 or player.may_play == "full"):
            plays, run = plays + own, run + count
    return plays, max(plays, run - player.missed)


def _player(
    player: PlayerNow, snaps: Snaps, left: SnapsLeft | None, unknown: str, assumed: Assumptions
) -> PlayerForecast:
    plays, run = _seen(player, snaps)
    due = None if player.plays is None else player.required - sum(player.own)
    needed = due / left.expected if due is not None and left and left.expected else None
    reason = UNCOUNTED if due is None else unknown
    chance = None
    if due is not None and left and not reason:
        reason = too_few(run, assumed.least_snaps_seen)
        chance = None if reason else chance_at_share(due, left.pmf, plays, run, assumed)
    return PlayerForecast(
        **{name: getattr(player, name) for name in DUE},
        still_due=due,
        expected_left=left.expected if left else None,
        left_low=left.low if left else None,
        left_high=left.high if left else None,
        share_needed=needed,
        plays_seen=plays,
        snaps_seen=run,
        chance=chance,
        reason=reason,
    )


def _order(row: PlayerForecast) -> tuple[bool, bool, float, float, str, int, str]:
    """Late players first; then the lowest chance, unknown ones last; then the highest need."""
    return (
        row.may_play != "second_half",
        row.chance is None,
        row.chance or 0.0,
        -(row.share_needed or 0.0),
        row.team,
        100 if row.number is None else row.number,
        row.player,
    )
