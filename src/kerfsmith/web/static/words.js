// What scripts say: sentences in the page's language, which the page carries as JSON, so that they are there
// without a network too.
const WORDS = JSON.parse(document.querySelector("#script-words")?.textContent ?? "{}");
const rules = new Intl.PluralRules(document.documentElement.lang || "en");

export function say(key, fields = {}) {
  const found = WORDS[key];
  return filled(typeof found === "string" ? found : found[rules.select(fields.count)], fields);
}

// A sentence with its ``{names}`` filled in.
export const filled = (told, fields) => told.replace(/\{(\w+)\}/g, (_, name) => fields[name]);

// A reason, verdict or kind, which the records name in English in every language.
export const named = (value) => WORDS.names?.[value] ?? value;

// A moment as a wall clock shows it.
export const clock = (at) => new Date(at).toLocaleTimeString(document.documentElement.lang, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
