// Shows a reckoned sheet in the panel that the records drew: figures, scene, marks on the bar.
import { sceneOf } from "./panel-sheet.js";
import { showLoad } from "./panel-show-load.js";
import { toMeasure } from "./panel-tell.js";
import { named, say } from "./words.js";

export function lengthWords(um, unit) {
  const value = unit === "mm" ? um / 1000 : um / 25400;
  return `${Number(value.toFixed(unit === "mm" ? 1 : 3))} ${unit}`;
}

export function show(panel, sheet) {
  const scene = sceneOf(sheet);
  panel.dataset.scene = scene;
  for (const one of panel.querySelectorAll("[data-of]")) one.hidden = !one.dataset.of.split(" ").includes(scene);
  for (const one of panel.querySelectorAll("[data-only]")) one.hidden = !one.dataset.only.split(" ").includes(scene);
  set(panel, "#question", say(`ask-${scene}`));
  for (const one of panel.querySelectorAll("[data-if-load]")) one.hidden = (one.dataset.ifLoad === "yes") !== Boolean(sheet.load);
  if (sheet.bar) showBar(panel, sheet);
  if (sheet.load) showPass(panel, sheet);
  if (scene === "load" || scene === "short") showWaiting(panel, sheet);
  if (scene === "rest") showRest(panel, sheet);
  if (scene === "held") showHeld(panel, sheet);
  const doubtful = panel.querySelector("#leaf-doubtful");
  if (doubtful) {
    doubtful.hidden = !sheet.doubtful.length;
    set(doubtful, ".when-shut", say("doubtful", { count: sheet.doubtful.length }));
  }
  showPiece(panel, sheet);
  for (const counted of sheet.lines) {
    const row = [...panel.querySelectorAll("tr[data-line]")].filter((one) => one.dataset.line === counted.line_id);
    for (const one of row) {
      one.querySelector("[data-good]").textContent = counted.good;
      one.querySelector("[data-scrapped]").textContent = counted.scrapped || "";
    }
  }
  panel.querySelector("#stop-told").hidden = !sheet.stop;
  put(panel, "stop", named(sheet.stop));
  put(panel, "band", sheet.band || say("no-band"));
}

function set(panel, selector, words) {
  const one = panel.querySelector(selector);
  if (one && one.textContent !== words) one.textContent = words;
}

function put(panel, name, words) {
  for (const one of panel.querySelectorAll(`[data-show="${name}"]`)) if (one.textContent !== words) one.textContent = words;
}

function showHeld(panel, sheet) {
  const held = sheet.held[0];
  put(panel, "held-words", held.words);
  put(panel, "held-measured", named(held.measured));
  put(panel, "held-more", sheet.held.length > 1 ? say("more-held", { count: sheet.held.length - 1 }) : "");
  for (const one of panel.querySelectorAll("[data-if-long]")) one.hidden = held.is_short;
}

// Of a run with mitres: the dials of the head angles that the next piece is cut at.
function showSettings(panel, next) {
  const all = [...panel.querySelectorAll(".setting[data-angle]")];
  const wanted = all.filter((one) => next?.angles.includes(one.dataset.angle));
  if (wanted.length) for (const one of all) one.hidden = !wanted.includes(one);
}

function showBar(panel, sheet) {
  const bar = sheet.bar;
  const next = bar.todo[0];
  showSettings(panel, next);
  const counted = next && sheet.lines.find((one) => one.line_id === next.line_id);
  const count = counted ? say("count", { good: Math.min(counted.good + 1, counted.wanted), wanted: counted.wanted }) : "";
  showNext(panel, sheet, next, { mark: next?.mark ?? "", count, left_um: bar.left_um, heading: bar.heading, counts: say("counts-one"), last: bar.log.at(-1), undoes: bar.log.length > 0 });
  put(panel, "bar-label", bar.label);
  put(panel, "missing", "");
  showStrip(panel, bar, next);
}

function showPass(panel, sheet) {
  const load = sheet.load;
  const bars = load.bars.map((one) => ({ ...one, left: lengthWords(one.left_um, sheet.unit) }));
  const pass = load.todo[0];
  const counts = say("counts-pieces", { count: bars.length });
  showNext(panel, sheet, pass?.step, { mark: pass?.words ?? "", count: "", left_um: Math.min(...bars.map((one) => one.left_um)), heading: load.heading, counts, last: load.rejected.at(-1) ?? load.log.at(-1), undoes: Boolean(load.last || load.rejected.length) });
  put(panel, "laid", say("laid", { laid: bars.length, count: load.at_once }));
  showLoad(panel, sheet, { ...load, bars });
}

// What is dialled in and cut next, from one bar or from several at once.
function showNext(panel, sheet, next, { mark, count, left_um, heading, counts, last, undoes }) {
  put(panel, "mark", next ? mark : say("left-of-bar"));
  put(panel, "count", count);
  put(panel, "dial", next?.dial ?? lengthWords(left_um, sheet.unit).split(" ")[0]);
  fitDial(panel);
  put(panel, "strokes", next?.strokes ?? "");
  put(panel, "allowed", next ? next.allowed || say("not-stated") : "");
  put(panel, "ends", next?.ends ?? "");
  const ends = panel.querySelector(".of-cut .ends");
  if (ends) ends.hidden = !next?.ends;
  put(panel, "left", lengthWords(left_um, sheet.unit));
  put(panel, "heading", heading);
  const tooShort = Boolean(next && next.needs_um > left_um);
  put(panel, "count-word", say(next?.kind === "facing" ? "facing-done" : "cut-done"));
  put(panel, "count-note", tooShort ? say("too-little") : next?.kind === "facing" ? say("then-pieces") : counts);
  put(panel, "last", last ? say("last", { cut: last.words }) : say("none-cut"));
  const undo = panel.querySelector("#undo");
  if (undo) undo.disabled = !undoes;
  const button = panel.querySelector("#count");
  if (button) button.disabled = !next || tooShort;
}

function showStrip(panel, bar, next) {
  const holder = panel.querySelector("[data-show=strip]");
  if (bar.strip && holder.dataset.bar !== bar.id) {
    holder.innerHTML = bar.strip;
    holder.dataset.bar = bar.id;
  }
  const todo = new Set(bar.todo.map((step) => step.key));
  for (const part of holder.querySelectorAll("[data-part]")) {
    if (part.dataset.part === "rest" || part.querySelector(".of-scrapped, .of-trim")) continue;
    const key = part.dataset.part;
    const state = key === next?.key ? "is-next" : todo.has(key) ? "is-to-come" : "is-done";
    part.setAttribute("class", `part ${state}`);
  }
}

function showWaiting(panel, sheet) {
  const missing = sheet.waiting.length ? [] : sheet.lines.filter((one) => one.wanted > one.good);
  panel.querySelector("[data-list=missing]").replaceChildren(
    ...missing.map((one) => Object.assign(document.createElement("li"), { textContent: say("missing", { count: one.wanted - one.good, mark: one.mark, length: one.length, unit: sheet.unit }) })),
  );
  const list = panel.querySelector("[data-list=waiting]");
  list.replaceChildren(
    ...sheet.waiting.map((bar) => {
      const item = document.createElement("li");
      const [label, words, pieces] = ["b", "span", "span"].map((name) => document.createElement(name));
      label.textContent = bar.count > 1 ? say("times", { count: bar.count, label: bar.label }) : bar.label;
      words.textContent = bar.words;
      pieces.textContent = bar.pieces;
      pieces.className = "soft";
      item.append(label, words, pieces);
      return item;
    }),
  );
}

function showRest(panel, sheet) {
  const bar = sheet.bar;
  const keep = bar.left_um >= sheet.least_remnant_um;
  put(panel, "worth", say(keep ? "worth" : "not-worth"));
  const label = panel.querySelector("#rest-label");
  if (label && label.dataset.bar !== bar.id) {
    // Its default too, for a form that was sent is reset.
    label.defaultValue = sheet.free_label;
    label.value = sheet.free_label;
    label.dataset.bar = bar.id;
  }
  const paper = panel.querySelector("[data-label-link]");
  if (paper) paper.href = `/at-saw/label.pdf?bar=${encodeURIComponent(bar.id)}&label=${encodeURIComponent(sheet.free_label)}`;
}

export function showPiece(panel, sheet) {
  const piece = toMeasure(sheet, panel.querySelector("[data-list=newest] :checked")?.value);
  const counted = piece && sheet.lines.find((one) => one.line_id === piece.line_id);
  const words = (one) => one.words ?? say("piece", { mark: one.mark, length: lengthWords(one.length_um, sheet.unit) });
  put(panel, "last-piece", piece ? words(piece) : say("no-piece"));
  put(panel, "last-allowed", counted?.allowed ? say("good-from", { allowed: counted.allowed }) : "");
  put(panel, "due", named(sheet.due || "extra"));
  const leaf = panel.querySelector("#leaf-measure");
  leaf.classList.toggle("is-due", Boolean(sheet.due));
  leaf.querySelector(".when-shut").textContent = sheet.due ? say("measure-due", { kind: named(sheet.due) }) : say("measure");
  leaf.querySelector("form button.act").disabled = !sheet.piece;
  for (const one of panel.querySelectorAll("[data-only-piece]")) one.hidden = !sheet.piece;
}

// A long figure is set smaller, so that it is read whole.
export function fitDial(panel) {
  const dial = panel.querySelector(".dialled .dial");
  const figure = dial?.querySelector("span");
  const letters = figure?.textContent.length ?? 0;
  dial?.classList.toggle("is-long", letters > 4 && letters < 7);
  dial?.classList.toggle("is-longer", letters >= 7);
}
