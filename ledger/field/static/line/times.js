/** Times of day in the league's time zone, as a time field has them. */

const DAY_MS = 86_400_000;
const LATER_MS = 10_800_000;

const parts = (head, when, options) =>
  new Intl.DateTimeFormat("en-CA", { timeZone: head.time_zone, hourCycle: "h23", ...options }).format(new Date(when));

/** "08:41". */
export const localTime = (head, when) => parts(head, when, { hour: "2-digit", minute: "2-digit" });

/** "2026-09-05". */
export const localDate = (head, when) => parts(head, when, { year: "numeric", month: "2-digit", day: "2-digit" });

/** In how many days the game is by the league's calendar: 0 today, and around midnight; below 0 where it was before. */
export function daysUntil(head, now = Date.now()) {
  if (Math.abs(Date.parse(head.kickoff) - now) < 2 * LATER_MS) return 0;
  return (Date.parse(localDate(head, head.kickoff)) - Date.parse(localDate(head, now))) / DAY_MS;
}

/** How far the zone's clock is ahead of UTC at this instant. */
function ahead(head, when) {
  const text = `${localDate(head, when)}T${localTime(head, when)}:00Z`;
  return Date.parse(text) - Math.floor(when / 60_000) * 60_000;
}

function onDay(head, date, time) {
  const local = Date.parse(`${date}T${time}:00Z`);
  return local - ahead(head, local - ahead(head, local));
}

/**
 * The instant that "8:41" or "841" on a sheet means: in the morning or in the evening, on the day that is
 * nearest to a few hours after `near`. "2026-09-05T13:41:00.000Z"; null where it is no time of day.
 */
export function instant(head, text, near) {
  const read = /^\s*(\d{1,2})[:. ]?(\d{2})\s*$/.exec(text);
  const [hours, minutes] = read ? read.slice(1).map(Number) : [24, 0];
  if (hours > 23 || minutes > 59) return null;
  const reference = Date.parse(near) + LATER_MS;
  const clocks = hours >= 1 && hours <= 12 ? [hours % 12, (hours % 12) + 12] : [hours];
  const days = [-DAY_MS, 0, DAY_MS].map((off) => localDate(head, reference + off));
  const found = days.flatMap((day) => clocks.map((one) => onDay(head, day, `${two(one)}:${two(minutes)}`)));
  found.sort((one, other) => Math.abs(one - reference) - Math.abs(other - reference));
  return new Date(found[0]).toISOString();
}

const two = (n) => String(n).padStart(2, "0");
