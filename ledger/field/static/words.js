/**
 * All that people read, in the language of whoever is active. English is what the code says.
 *
 * t("Kickoff in {n} min", { n: 17 }); tn("{n} waits", "{n} wait", n). Babel finds these calls; a
 * text is given where it is called, never put together.
 */

let catalogue = {};
let language = "en";

export const t = (text, values) => filled(catalogue[text] ?? text, values);

/** A text that the server sent and that the catalogue has. */
export const told = (text) => t(text);

export function tn(one, many, n, values) {
  const forms = catalogue[one];
  const text = forms ? forms[rule(n)] ?? forms.at(-1) : n === 1 ? one : many;
  return filled(text, { n, ...values });
}

function rule(n) {
  const names = new Intl.PluralRules(language).resolvedOptions().pluralCategories;
  return names.indexOf(new Intl.PluralRules(language).select(n));
}

function filled(text, values) {
  return values ? text.replace(/\{(\w+)\}/g, (whole, key) => (key in values ? String(values[key]) : whole)) : text;
}

/** Speaks `code` from now on: "en", or a language whose catalogue is in words/. */
export async function speak(code) {
  if (code === language) return;
  catalogue = code === "en" ? {} : (await import(`./words/${code}.js`)).default;
  language = code;
  document.documentElement.lang = code;
}

export const spoken = () => language;
