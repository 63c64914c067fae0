// The panel: forms become events that are kept here first, shown at once, and sent when the network is there.
import { addTimes, noteLoad, pressBegin, recallBegin, showCut } from "./panel-cut.js";
import { keepUnseen, pressedAside, showAside, tell, tellAside, tellUnseen } from "./panel-notices.js";
import { pieceOfLoad } from "./panel-load.js";
import { addPads } from "./panel-pad.js";
import { Sender } from "./panel-send.js";
import { after, loadable, outOf } from "./panel-sheet.js";
import { fitDial, lengthWords, show, showPiece } from "./panel-show.js";
import { append, recall, remember, waiting } from "./panel-store.js";
import { toldOf } from "./panel-tell.js";
import { newId } from "./panel-ids.js";
import { named, say } from "./words.js";

const POLL = 10000;
const KEPT = "kerfsmith-panel-1";
const UNREADY = ["entries-missing", "entry-taken", "unknown-bar"]; // Refusals of what builds on another entry.
const state = { sheet: null, rack: {}, link: { away: !navigator.onLine, count: 0, aside: 0 }, skew: 0, made: 0, astray: false, fewer: null };

const panel = () => document.querySelector("#panel");
const now = () => new Date(Date.now() + state.skew).toISOString();

async function begin() {
  const root = panel();
  keepForReload();
  if (!root) return;
  state.rack = JSON.parse(root.dataset.rack || "{}");
  await recallBegin();
  state.fewer = await recall("fewer");
  await take(await newest(root), Date.now());
  const run = root.dataset.run;
  const sender = new Sender({
    // After plain cuts the panel knows as much as the records: its page comes back only where they differ.
    run: (batch) => (!state.astray && batch.every(isPlain) ? "" : run),
    onState,
    onAnswers: (told) => onAnswers(told, sender),
    onAside: (event, why, later) => onAside(event, why, later, sender),
  });
  document.addEventListener("submit", (event) => submitted(event, sender));
  document.addEventListener("click", (event) => clicked(event, sender));
  document.addEventListener("input", (event) => noteLoad(event.target, panel()));
  document.addEventListener("change", (event) => event.target.closest("[data-list=newest]") && showPiece(panel(), state.sheet));
  await tellUnseen();
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
  const isOpen = state.sheet.load?.is_open;
  takeFewer();
  if (events.length || isOpen !== state.sheet.load?.is_open) show(root, state.sheet);
  else fitDial(root);
  showCut(root, state.sheet);
  await showAside(root);
  const undo = root.querySelector("#undo");
  if (undo) undo.disabled = state.sheet.load ? !state.sheet.load.last && !state.sheet.load.rejected.length : !state.sheet.bar?.log.length;
}

async function submitted(event, sender) {
  const form = event.target;
  if (form.matches("[data-sign-out]") && state.link.count) {
    event.preventDefault();
    tell({ kind: "refused", title: say("sign-out-first"), lines: [say("sign-out-why", { count: state.link.count })] });
    return;
  }
  if (!form.dataset.verb) return;
  event.preventDefault();
  const { verb, told, fault } = toldOf(form, event.submitter, state.sheet);
  if (fault) return void tell({ kind: "refused", title: fault, lines: [] });
  if ("fewer" in form.dataset) return void beginFewer(told.fewer_why);
  if (verb === "load bar") placeInLoad(told, event.submitter);
  const refused = verb === "load bar" && state.link.away ? loadable(state.sheet, state.rack, told.label) : {};
  if (refused.why) return void tell({ kind: "refused", title: refused.why, lines: [refused.remedy, say("judged-alone")] });
  event.submitter?.blur();
  state.made += 1;
  const wasDue = state.sheet.due;
  const isCut = verb === "log cut" || verb === "cut load";
  if (isCut && told.kind !== "trim") addTimes(told, state.sheet, now());
  const made = { id: newId(), at: now(), key: state.sheet.key, verb, told };
  await append(made);
  sender.tell();
  closeLeaves();
  judge(verb, told);
  // A label is judged by the records where they can be asked: only they know what was promised elsewhere.
  if (verb !== "load bar" || state.link.away) {
    state.sheet = after(state.sheet, made, state.rack);
    show(panel(), state.sheet);
    showCut(panel(), state.sheet);
  }
  form.reset();
  const more = verb === "inspect piece" && state.sheet.load?.to_measure.length;
  if (more || (isCut && state.sheet.due && !wasDue && !told.scrapped)) askMeasure();
  sender.soon(0);
}

// A bar that is planned to be cut with others is laid into a load, unless it is to be cut alone.
function placeInLoad(told, button) {
  const alone = button && "alone" in button.dataset;
  const planned = alone ? null : loadable(state.sheet, state.rack, told.label).bar;
  if (state.sheet.load) told.load_id = state.sheet.load.id;
  else if (planned?.at_once > 1) told.load_id = newId();
  else delete told.load_id;
}

// Fewer bars than planned: kept here, and told with the first pass.
async function beginFewer(why) {
  state.fewer = { load: state.sheet.load.id, why };
  await remember("fewer", state.fewer);
  closeLeaves();
  takeFewer();
  show(panel(), state.sheet);
  showCut(panel(), state.sheet);
}

function takeFewer() {
  const load = state.sheet.load;
  if (load?.is_open && load.id === state.fewer?.load) Object.assign(load, { is_open: false, fewer_why: state.fewer.why });
}

// Says at once whether a measured piece is good; the records say it again in their own time.
function judge(verb, told) {
  if (verb !== "inspect piece") return;
  const piece = state.sheet.piece?.id === told.cut_id ? state.sheet.piece : pieceOfLoad(state.sheet, told.cut_id);
  if (!piece) return;
  const over = told.measured_um - piece.length_um;
  const out = outOf(state.sheet, piece.line_id, over);
  const by = `${over < 0 ? "−" : "+"}${lengthWords(Math.abs(over), state.sheet.unit)}`;
  for (const one of panel().querySelectorAll("[data-show=measured]")) one.textContent = say("measured", { length: lengthWords(told.measured_um, state.sheet.unit), over: by });
  if (state.link.away && out) tell({ kind: "refused", title: say("is-out", { verdict: named(out), over: lengthWords(Math.abs(over), state.sheet.unit) }), lines: [say("held-then")] });
}

async function clicked(event, sender) {
  // A glove that bounces makes one cut, not two.
  if (event.detail > 1 && event.target.closest(".count")) return event.preventDefault();
  const seen = event.target.closest("[data-seen]");
  if (seen) {
    event.preventDefault();
    seen.closest(".told").remove();
    keepUnseen();
  }
  if (event.target.closest("#begins")) pressBegin(panel(), state.sheet, now());
  const fill = event.target.closest("[data-fills] button");
  if (fill) document.getElementById(fill.parentElement.dataset.fills).value = fill.value;
  if (await pressedAside(event.target, panel())) {
    await sender.tell();
    sender.soon(0);
  }
}

function onState(link) {
  state.link = link;
  const shown = document.querySelector("#link-state");
  const text = linkWords(link);
  if (shown.textContent !== text) shown.textContent = text;
  shown.className = `link-state ${link.away || link.signedOut || link.fault ? "is-away" : link.count || link.aside ? "is-waiting" : "is-sent"}`;
}

function linkWords({ count, away, signedOut, fault, aside }) {
  if (fault) return say("not-accepted", { fault });
  const waits = count ? "-waits" : "";
  if (signedOut || away) return say((signedOut ? "signed-out" : "away") + waits, { count });
  return count ? say("waits", { count }) : aside ? say("aside", { count: aside }) : say("all-sent");
}

const isPlain = ({ verb, told }) => (verb === "inspect piece" && !state.sheet.held.length && !state.sheet.doubtful.length) || (verb === "log cut" && !told.scrapped && told.kind !== "trim") || (verb === "cut load" && !told.cuts.some((one) => one.scrapped) && told.kind !== "trim" && !told.fewer_why);

async function onAnswers({ answers, part }, sender) {
  for (const { notice, code } of answers) {
    if (!notice) continue;
    const why = state.link.aside && UNREADY.includes(code) ? say("after-aside") : "";
    tell({ ...notice, lines: [...notice.lines, why] });
  }
  state.astray = false;
  if (part) return redraw(part);
  const { events } = await waiting();
  const { check, code } = answers.at(-1);
  if (!events.length && (code || (check && !agrees(check)))) await look(sender);
}

// Whether the panel's own reckoning of a bar, or of every bar of a load, is that of the records.
function agrees(check) {
  const { bar, load } = state.sheet;
  const alike = (told, own) => told.bar === own?.id && told.entries === own.number - 1 && told.left_um === own.left_um;
  if (!check.load) return alike(check, bar);
  return check.load === load?.id && check.bars.length === load.bars.length && check.bars.every((told) => alike(told, load.bars.find((one) => one.id === told.bar)));
}

// What the panel reckoned with an entry that nobody can read is to be looked up anew.
async function onAside(event, why, later, sender) {
  state.astray = true;
  tellAside(event, why, later);
  await showAside(panel());
  if (!(await waiting()).events.length) await look(sender);
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
function sayWhatChanged(before, after) {
  if (!before || before.run !== after.run || before.revision === after.revision) return;
  if (document.querySelector(".told.is-changed")) return;
  const lines = after.lines.flatMap((line) => {
    const was = before.lines.find((one) => one.line_id === line.line_id);
    const told = [];
    if (was && was.wanted !== line.wanted) told.push(say("other-quantity", { mark: line.mark, wanted: line.wanted, before: was.wanted }));
    if (was && was.length_um !== line.length_um) told.push(say("other-cut-length", { mark: line.mark, length: line.length, before: was.length, unit: after.unit }));
    return told;
  });
  tell({ kind: "changed", title: say("replanned"), lines: lines.length ? lines : [say("same-pieces")] });
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
