// The panel: forms become events that are kept here first, shown at once, and sent when the network is there.
import { addPads } from "./panel-pad.js";
import { Sender } from "./panel-send.js";
import { after, loadable, outOf } from "./panel-sheet.js";
import { fitDial, lengthWords, show } from "./panel-show.js";
import { append, recall, remember, waiting } from "./panel-store.js";
import { toldOf } from "./panel-tell.js";
import { newId } from "./panel-ids.js";

const POLL = 10000;
const KEPT = "kerfsmith-panel-1";
const state = { sheet: null, rack: {}, link: { away: !navigator.onLine, count: 0 }, skew: 0, made: 0, began: "" };

const panel = () => document.querySelector("#panel");

async function begin() {
  const root = panel();
  keepForReload();
  if (!root) return;
  state.rack = JSON.parse(root.dataset.rack || "{}");
  await take(await newest(root), Date.now());
  const run = root.dataset.run;
  const sender = new Sender({
    // After plain cuts the panel knows as much as the records: its page comes back only where they differ.
    run: (batch) => (batch.every(isPlain) ? "" : run),
    onState,
    onAnswers: (told) => onAnswers(told, sender),
  });
  document.addEventListener("submit", (event) => submitted(event, sender));
  document.addEventListener("click", clicked);
  for (const notice of (await recall("unseen")) ?? []) tell(notice);
  sender.soon(0);
  setInterval(() => look(sender), POLL);
}

// A page that came from the browser's own keeping is older than what the records said last.
async function newest(root) {
  const kept = await recall("part");
  if (kept?.run !== root.dataset.run) return root;
  const holder = document.createElement("template");
  holder.innerHTML = kept.part;
  const fresh = holder.content.querySelector("#panel");
  const at = (one) => Date.parse(JSON.parse(one.dataset.sheet).now);
  if (!fresh || at(fresh) <= at(root)) return root;
  root.replaceWith(fresh);
  return fresh;
}

// Takes over the sheet in a panel drawn by the records, with what waits here done on top of it.
async function take(root, received) {
  state.sheet = JSON.parse(root.dataset.sheet);
  state.skew = Date.parse(state.sheet.now) - received;
  if (!state.sheet.key) state.sheet.key = "";
  const { events } = await waiting();
  for (const event of events) state.sheet = after(state.sheet, event, state.rack);
  addPads(root, state.sheet.unit);
  for (const choice of root.querySelectorAll("[data-fills]")) choice.hidden = false;
  if (events.length) show(root, state.sheet);
  else fitDial(root);
  const begin = root.querySelector("#begins");
  if (begin) begin.hidden = root.dataset.scene !== "cut";
  begins(state.began);
  const undo = root.querySelector("#undo");
  if (undo) undo.disabled = !state.sheet.bar?.log.length;
}

async function submitted(event, sender) {
  const form = event.target;
  if (form.matches("[data-sign-out]") && state.link.count) {
    event.preventDefault();
    tell({ kind: "refused", title: "Not signed out yet", lines: [`${words(state.link)}: they go out under your name first. Wait for the network.`] });
    return;
  }
  if (!form.dataset.verb) return;
  event.preventDefault();
  const { verb, told, fault } = toldOf(form, event.submitter, state.sheet);
  if (fault) return void tell({ kind: "refused", title: fault, lines: [] });
  const refused = verb === "load bar" && state.link.away ? loadable(state.sheet, state.rack, told.label) : {};
  if (refused.why) return void tell({ kind: "refused", title: refused.why, lines: [refused.remedy, "There is no network: this panel judged by what it knew last."] });
  event.submitter?.blur();
  state.made += 1;
  const wasDue = state.sheet.due;
  if (verb === "log cut" && told.kind !== "trim") addTimes(told);
  const made = { id: newId(), at: new Date(Date.now() + state.skew).toISOString(), key: state.sheet.key, verb, told };
  await append(made);
  sender.tell();
  closeLeaves();
  judge(verb, told);
  // A label is judged by the records where they can be asked: only they know what was promised elsewhere.
  if (verb !== "load bar" || state.link.away) {
    state.sheet = after(state.sheet, made, state.rack);
    show(panel(), state.sheet);
  }
  form.reset();
  if (verb === "log cut" && state.sheet.due && !wasDue && !told.scrapped) askMeasure();
  sender.soon(0);
}

// Where the begin of the cut was pressed, the cut is told with its times.
function addTimes(told) {
  if (state.began) {
    told.began_at = state.began;
    told.ended_at = new Date(Date.now() + state.skew).toISOString();
  }
  begins("");
}

function begins(at) {
  state.began = at;
  const button = panel().querySelector("#begins");
  if (!button) return;
  button.setAttribute("aria-pressed", at ? "true" : "false");
  button.textContent = at ? `Begun ${new Date(at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" })}` : "Cut begins";
}

// Says at once whether a measured piece is good; the records say it again in their own time.
function judge(verb, told) {
  if (verb !== "inspect piece") return;
  const piece = state.sheet.piece;
  if (piece?.id !== told.cut_id) return;
  const over = told.measured_um - piece.length_um;
  const out = outOf(state.sheet, piece.line_id, over);
  const by = `${over < 0 ? "−" : "+"}${lengthWords(Math.abs(over), state.sheet.unit)}`;
  for (const one of panel().querySelectorAll("[data-show=measured]")) one.textContent = `Last measured: ${lengthWords(told.measured_um, state.sheet.unit)}, ${by}`;
  if (state.link.away && out) tell({ kind: "refused", title: `The piece is ${out} by ${lengthWords(Math.abs(over), state.sheet.unit)}`, lines: ["It is held until somebody decides; then correct the stop, and measure the next piece."] });
}

function clicked(event) {
  const seen = event.target.closest("[data-seen]");
  if (seen) {
    event.preventDefault();
    seen.closest(".told").remove();
    keepUnseen();
  }
  if (event.target.closest("#begins")) begins(state.began ? "" : new Date(Date.now() + state.skew).toISOString());
  const fill = event.target.closest("[data-fills] button");
  if (fill) document.getElementById(fill.parentElement.dataset.fills).value = fill.value;
}

function onState(link) {
  state.link = link;
  const shown = document.querySelector("#link-state");
  const waits = words(link);
  const text = link.fault ? `Not accepted: ${link.fault}` : link.signedOut ? `Signed out${waits ? `, ${waits}` : ""}` : link.away ? `No network${waits ? `, ${waits}` : ""}` : waits || "All sent";
  if (shown.textContent !== text) shown.textContent = text;
  shown.className = `link-state ${link.away || link.signedOut || link.fault ? "is-away" : link.count ? "is-waiting" : "is-sent"}`;
}

const words = ({ count }) => (count ? `${count} ${count === 1 ? "entry" : "entries"} not yet sent` : "");

const isPlain = ({ verb, told }) => (verb === "inspect piece" && !state.sheet.held.length && !state.sheet.doubtful.length) || (verb === "log cut" && !told.scrapped && told.kind !== "trim");

async function onAnswers({ answers, part }, sender) {
  for (const answer of answers) if (answer.notice) tell(answer.notice);
  if (part) return redraw(part);
  const { events } = await waiting();
  const { check, code } = answers.at(-1);
  const bar = state.sheet.bar;
  const agrees = check && bar && check.bar === bar.id && check.entries === bar.number - 1 && check.left_um === bar.left_um;
  if (!events.length && (code || (check && !agrees))) await look(sender);
}

async function redraw(part) {
  const { events } = await waiting();
  // Never under a finger: what is newer here, or being keyed, is not overwritten.
  if (events.length || document.querySelector(".leaf[open]") || keying()) return;
  const told = [...document.querySelectorAll("#notices > .told")];
  const before = state.sheet;
  const holder = document.createElement("template");
  holder.innerHTML = part;
  const fresh = holder.content.querySelector("#panel");
  if (Date.parse(JSON.parse(fresh.dataset.sheet).now) < Date.parse(before.now)) return;
  const focused = document.activeElement?.id;
  panel().replaceWith(fresh);
  document.querySelector("#notices").append(...told);
  await take(fresh, Date.now());
  if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
  sayWhatChanged(before, state.sheet);
  if (state.sheet.due && !before.due) askMeasure();
  await remember("part", { run: fresh.dataset.run, part });
}

// The office may have changed the run meanwhile: say what is other than it was.
function sayWhatChanged(before, now) {
  if (!before || before.run !== now.run || before.revision === now.revision) return;
  if (document.querySelector(".told.is-changed")) return;
  const lines = now.lines.flatMap((line) => {
    const was = before.lines.find((one) => one.line_id === line.line_id);
    const told = [];
    if (was && was.wanted !== line.wanted) told.push(`${line.mark}: ${line.wanted} wanted instead of ${was.wanted}.`);
    if (was && was.length_um !== line.length_um) told.push(`${line.mark}: ${line.length} ${now.unit} instead of ${was.length} ${now.unit}.`);
    return told;
  });
  tell({ kind: "changed", title: "The rest of the run was planned anew", lines: lines.length ? lines : ["The pieces wanted are the same; the bars to load may be others."] });
}

const keying = () => document.activeElement?.matches("input, select") && document.activeElement.value !== "" && panel().contains(document.activeElement);

async function look(sender) {
  if (document.hidden || document.querySelector(".leaf[open]") || keying()) return;
  const made = state.made;
  try {
    const answer = await fetch(location.pathname, { headers: { "X-Panel": "part" }, signal: AbortSignal.timeout(9000) });
    const part = await answer.text();
    // What was asked before the last touch tells of a time before it.
    if (answer.ok && made === state.made) await redraw(part);
    await sender.tell({ away: false, signedOut: answer.status === 401 });
  } catch {
    await sender.tell({ away: true });
  }
}

function tell({ kind, title, lines }) {
  const box = document.createElement("section");
  box.className = `told is-${kind}`;
  const text = document.createElement("div");
  const head = document.createElement("h2");
  head.textContent = title;
  text.append(head, ...lines.filter(Boolean).map((line) => Object.assign(document.createElement("p"), { textContent: line })));
  const seen = Object.assign(document.createElement("button"), { type: "button", className: "button", textContent: "Seen" });
  seen.dataset.seen = "";
  box.append(...(kind === "refused" ? [sign()] : []), text, seen);
  document.querySelector("#notices").append(box);
  if (kind === "done") setTimeout(() => box.remove(), 8000);
  box.scrollIntoView({ block: "nearest" });
  keepUnseen();
}

function sign() {
  return document.querySelector(".caution-line .sign").cloneNode(true);
}

// What was refused must be seen, even after a reload.
function keepUnseen() {
  const unseen = [...document.querySelectorAll("#notices > .told.is-refused")].map((box) => ({
    kind: "refused",
    title: box.querySelector("h2").textContent,
    lines: [...box.querySelectorAll("p")].map((line) => line.textContent),
  }));
  return remember("unseen", unseen);
}

// Asks once when it falls due; who puts it off finds it marked among the tools.
function askMeasure() {
  openLeaf("measure");
}

function openLeaf(name) {
  const leaf = document.querySelector(`#leaf-${name}`);
  if (!leaf) return;
  leaf.open = true;
  leaf.querySelector("input:not([type=hidden])")?.focus();
}

function closeLeaves() {
  for (const leaf of document.querySelectorAll(".leaf[open]")) leaf.open = false;
}

// Where the browser allows it, the page and its files are kept, so that a reload without a network finds them.
async function keepForReload() {
  try {
    await navigator.serviceWorker.register("/at-saw/worker.js", { scope: "/at-saw" });
    await navigator.serviceWorker.ready;
    const files = performance.getEntriesByType("resource").map((one) => new URL(one.name));
    const own = files.filter((url) => url.origin === location.origin && url.pathname.startsWith("/static/"));
    const kept = await caches.open(KEPT);
    await kept.addAll([...new Set([location.pathname, ...own.map((url) => url.pathname)])]);
  } catch {
    // No worker (a plain http address on the shop's network) or no network: the page works, but a reload needs one.
  }
}

begin();
