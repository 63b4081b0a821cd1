/** Finds a child by what is typed: a number, the beginning of one, or of any word of a name. Pure. */

const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

const words = (name) => plain(name).split(/[\s'’-]+/).concat(plain(name));

/** By number, where two share one by name: the places of the tiles all season. */
export function inPlace(children) {
  const number = (one) => one.number ?? 100;
  return [...children].sort((a, b) => number(a) - number(b) || (a.name ?? "").localeCompare(b.name ?? "") || (a.player < b.player ? -1 : 1));
}

/** `{exact, all}`: who wears exactly this number, and everybody who may be meant, in place. */
export function find(children, typed) {
  const text = plain(typed.trim());
  if (!text) return { exact: [], all: inPlace(children) };
  if (/^\d+$/.test(text)) {
    const digits = String(Number(text));
    const exact = children.filter((one) => String(one.number) === digits);
    return { exact, all: inPlace(children.filter((one) => one.number !== null && String(one.number).startsWith(digits))) };
  }
  return { exact: [], all: inPlace(children.filter((one) => one.name && words(one.name).some((word) => word.startsWith(text)))) };
}

/** The child that Enter opens; null where nobody or several are meant. */
export function chosen({ exact, all }) {
  if (exact.length) return exact.length === 1 ? exact[0] : null;
  return all.length === 1 ? all[0] : null;
}

/** Whose name is the same, or has the same last word and the same first letter: one person may be meant. */
export function alike(people, typed) {
  const parts = (name) => plain(name.trim()).split(/\s+/);
  const mine = parts(typed);
  const isSame = (theirs) => theirs.at(-1) === mine.at(-1) && theirs[0][0] === mine[0][0];
  return people.filter((one) => isSame(parts(one.name)) || [...parts(one.name)].sort().join(" ") === [...mine].sort().join(" "));
}
