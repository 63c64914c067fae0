// What the panel tells its operator: refusals, changes, and entries that were set aside.
import { recall, remember, takeUp, waiting } from "./panel-store.js";
import { clock, named, say } from "./words.js";

const GONE_MS = 8000;

export function tell({ kind, title, lines }) {
  const box = document.createElement("section");
  box.className = `told is-${kind}`;
  const text = document.createElement("div");
  const head = document.createElement("h2");
  head.textContent = title;
  text.append(head, ...lines.filter(Boolean).map((line) => Object.assign(document.createElement("p"), { textContent: line })));
  const seen = button(say("seen"));
  seen.dataset.seen = "";
  box.append(...(kind === "refused" ? [sign()] : []), text, seen);
  document.querySelector("#notices").append(box);
  if (kind === "done") setTimeout(() => box.remove(), GONE_MS);
  box.scrollIntoView({ block: "nearest" });
  keepUnseen();
}

function button(words) {
  return Object.assign(document.createElement("button"), { type: "button", className: "button", textContent: words });
}

function sign() {
  return document.querySelector(".caution-line .sign").cloneNode(true);
}

// What was refused must be seen, even after a reload.
export function keepUnseen() {
  const unseen = [...document.querySelectorAll("#notices > .told.is-refused")].map((box) => ({
    kind: "refused",
    title: box.querySelector("h2").textContent,
    lines: [...box.querySelectorAll("p")].map((line) => line.textContent),
  }));
  return remember("unseen", unseen);
}

export async function tellUnseen() {
  for (const notice of (await recall("unseen")) ?? []) tell(notice);
}

// An entry that can't be read, and how many of those behind it speak of the same.
export function tellAside(event, why, later) {
  const builds = later.filter((one) => buildsOn(one, event)).length;
  tell({
    kind: "refused",
    title: say("aside-title"),
    lines: [
      say("aside-what", { verb: named(event.verb), time: clock(event.at), why }),
      builds ? say("aside-later", { count: builds }) : "",
      say("aside-kept"),
    ],
  });
}

const WIDER = ["run_id", "line_id"]; // Ids that speak of more than one deed.

function buildsOn(later, event) {
  const ids = Object.entries(event.told ?? {}).filter(([name]) => name.endsWith("_id") && !WIDER.includes(name));
  const own = new Set(ids.map(([, id]) => id));
  return (event.verb === "change band" && later.verb === "log cut") || Object.entries(later.told).some(([name, id]) => name.endsWith("_id") && own.has(id));
}

// The leaf of entries set aside: each with its text, to be sent again or, by who may, taken off.
export async function showAside(panel) {
  const leaf = panel.querySelector("#leaf-aside");
  const { aside } = await waiting();
  leaf.hidden = !aside.length;
  leaf.querySelector(".when-shut").textContent = say("aside", { count: aside.length });
  leaf.querySelector("[data-list=aside]").replaceChildren(...aside.map((one) => asideItem(one, "mayStrike" in leaf.dataset)));
}

function asideItem({ event, why }, mayStrike) {
  const item = document.createElement("li");
  const head = document.createElement("b");
  head.textContent = say("aside-what", { verb: named(event.verb), time: clock(event.at), why });
  const text = document.createElement("code");
  text.textContent = JSON.stringify(event.told);
  const acts = [button(say("send-again")), ...(mayStrike ? [button(say("strike"))] : [])];
  acts.forEach((one, at) => (one.dataset[at ? "strike" : "again"] = event.id));
  item.append(head, text, ...acts);
  return item;
}

// Whether a press in the leaf was for one of its entries; it is done by then.
export async function pressedAside(target, panel) {
  const again = target.closest("[data-again]");
  const one = again ?? target.closest("[data-strike]");
  if (!one) return false;
  await takeUp(one.dataset.again ?? one.dataset.strike, Boolean(again));
  await showAside(panel);
  return true;
}
