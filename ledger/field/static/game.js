/**
 * One game as this device knows it: what the server has, and over it what waits here.
 *
 * Without a network it opens by number, as it was read last: no name is ever kept.
 */

import { playerOf } from "./acts.js";
import { get } from "./api.js";
import * as db from "./db.js";
import { setTimeZone } from "./device.js";
import { fold, keyOf } from "./fold.js";
import { onNews } from "./news.js";
import * as queue from "./queue.js";

/** Opens a game. Rejects with the ApiError where it is neither here nor readable. */
export async function open(game) {
  const model = new Game(game);
  await model.begin();
  return model;
}

class Game {
  #listeners = new Set();
  #stops = [];
  #entries = [];
  #reading = null;
  #again = false;
  #isWhole = false;

  constructor(game) {
    this.game = game;
    this.head = null;
    this.position = 0;
    this.edition = "";
    this.error = null;
    this.closed = false;
  }

  async begin() {
    const kept = await db.read("shape", `game:${this.game}`);
    if (kept) {
      this.head = kept.head;
      this.#entries = kept.entries;
      this.#fold();
    }
    this.#stops = [
      queue.onChange(() => this.#changed()),
      onNews((news) => {
        if (!news || (news.game === this.game && (news.position > this.position || news.edition !== this.edition))) this.refresh();
      }),
    ];
    const reading = this.refresh();
    if (!kept) await reading;
    if (!this.head) {
      this.close();
      throw this.error;
    }
    setTimeZone(this.head.time_zone);
  }

  /** Reads what is new. Never rejects: `error` says why nothing came. */
  refresh() {
    this.#again = this.#reading !== null;
    this.#reading ??= this.#readAll().finally(() => (this.#reading = null));
    return this.#reading;
  }

  async #readAll() {
    do {
      this.#again = false;
      await this.#read();
    } while (this.#again && !this.error && !this.closed);
  }

  async #read() {
    try {
      const after = this.#isWhole ? this.position : 0;
      const query = new URLSearchParams({ after, edition: this.edition });
      const found = await get(`/api/games/${encodeURIComponent(this.game)}?${query}`);
      if (this.closed) return;
      this.error = null;
      // 0 where the server was begun anew: what was read before may not be what it counts from.
      const before = found.after > 0 ? this.#entries : [];
      const isNew = !this.#isWhole || found.head || found.entries.length > 0;
      if (found.head) this.head = found.head;
      const known = new Set(before.map((entry) => entry.event));
      this.#entries = [...before, ...found.entries.filter((entry) => !known.has(entry.event))];
      Object.assign(this, { position: found.position, edition: found.edition });
      this.#isWhole = true;
      if (isNew) {
        this.#changed();
        await this.#keep();
      }
    } catch (error) {
      const isNews = this.error?.code !== error.code;
      this.error = error;
      if (isNews) this.#changed();
    }
  }

  /** Reads all of it anew: somebody else is signed in, or somebody was confirmed. */
  reread() {
    this.#isWhole = false;
    this.edition = "";
    return this.refresh();
  }

  async #keep() {
    await db.write("shape", `game:${this.game}`, {
      head: withoutNames(this.head),
      entries: this.#entries.map(withoutWords),
    });
    const refs = new Set(this.#entries.map((entry) => entry.ref));
    await queue.shown((act) => act.game === this.game && act.entries.every((entry) => refs.has(entry.ref)));
  }

  #changed() {
    if (!this.head) return;
    this.#fold();
    for (const listener of this.#listeners) listener(this);
  }

  #fold() {
    const refs = new Set(this.#entries.map((entry) => entry.ref).filter(Boolean));
    const own = [...queue.recorded(), ...queue.waiting()].filter((act) => act.game === this.game);
    const over = own.flatMap((act) => act.entries.filter((entry) => !refs.has(entry.ref)).map((entry) => this.#shown(act, entry)));
    this.entries = [...this.#entries, ...over];
    this.fold = fold(this.entries, this.head);
    this.aside = queue.aside().filter((one) => one.act.game === this.game);
  }

  /** A device's entry in the form in which the server tells it. */
  #shown(act, entry) {
    const number = entry.number === undefined ? undefined : Number(entry.number);
    const roster = this.head.teams.find((side) => side.team === entry.team)?.players ?? [];
    const player = playerOf(entry, act.game) ?? (number === undefined ? undefined : roster.find((one) => one.number === number)?.player);
    const found = { ...entry, player, number, by: act.by, entered: act.entered ?? entry.at, waits: act.state === "waiting" };
    if (entry.reading) found.reading_clb = hundredths(entry.reading);
    if (entry.limit) found.limit_clb = hundredths(entry.limit);
    if (entry.half) found.half = Number(entry.half);
    if (entry.count) found.count = Number(entry.count);
    return found;
  }

  /** `{team, name, side, players, children, left, over_not_listed, …}` (fold.js). */
  team(team) {
    const side = this.head.teams.find((one) => one.team === team);
    return side && { ...side, ...this.fold.teams.get(team) };
  }

  other(team) {
    return this.team(this.head.teams.find((one) => one.team !== team)?.team);
  }

  child(team, player) {
    return this.fold.children.get(keyOf(team, player)) ?? null;
  }

  /** The acts of this game, newest last: `{act, by, entries, waits}`, for "take back". */
  acts() {
    const found = new Map();
    for (const entry of this.entries) {
      const act = entry.ref?.slice(0, entry.ref.lastIndexOf(".")) ?? entry.event;
      if (!found.has(act)) found.set(act, { act, by: entry.by, entries: [], waits: Boolean(entry.waits) });
      found.get(act).entries.push(entry);
    }
    return [...found.values()];
  }

  onChange(listener) {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  close() {
    this.closed = true;
    for (const stop of this.#stops) stop();
    this.#listeners.clear();
  }
}

/** Exact: "10.05" is 1005, without the detour of a binary fraction. */
function hundredths(pounds) {
  const [whole, part = ""] = String(pounds).split(".");
  return Number(whole) * 100 + Number(part.padEnd(2, "0").slice(0, 2));
}

function withoutNames(head) {
  return {
    ...head,
    teams: head.teams.map((side) => ({ ...side, players: side.players.map(({ name, ...one }) => one) })),
    people: head.people?.map(({ name, ...one }) => one),
  };
}

const CODED = new Set(["list", "strike_off", "excuse", "concern", "case_open"]);

/** Names and free text live in memory only; a reason from a list of codes is no free text. */
function withoutWords({ name, note, reason, ...entry }) {
  return CODED.has(entry.kind) && reason ? { ...entry, reason } : entry;
}
