// From a pressed form to what the records are told: the fields, with ids and numbers that are made here.
import { newId } from "./panel-ids.js";
import { newestOfLoad, pieceOfLoad } from "./panel-load.js";
import { say } from "./words.js";

const IDS = { "load bar": "bar_id", "log cut": "cut_id", "undo cut": "undo_id", "reject piece": "reject_id", "inspect piece": "inspection_id", "measure again": "decision_id", "accept piece": "decision_id", "accept doubtful": "decision_id", "change band": "mounting_id", "stop saw": "stop_id" };
const NUMBERS = ["number", "quantity"];
const FIGURES = ["motor_load_percent", "motor_power_kw"];

// Whole micrometres of what was keyed: 1190.5, 46 7/8, 12'-6 3/8" and the like; null where it can't be read.
export function lengthUm(text, unit) {
  const plain = text.trim().replace(",", ".").replace(/\s*(mm|in|")$/, "");
  const um = unit === "mm" ? 1000 : 25400;
  const feet = /^(\d+)'\s*-?\s*(.*)$/.exec(plain);
  const rest = feet ? feet[2] || "0" : plain;
  const mixed = /^(?:(\d+)[\s-]+)?(\d+)\/(\d+)$/.exec(rest);
  let value;
  if (mixed && Number(mixed[3])) value = Number(mixed[1] ?? 0) + Number(mixed[2]) / Number(mixed[3]);
  else if (/^\d+(\.\d*)?$|^\.\d+$/.test(rest)) value = Number(rest);
  else return null;
  if (feet && unit !== "in") return null;
  return Math.round((value + (feet ? 12 * Number(feet[1]) : 0)) * um);
}

// { verb, told } of a form, or { fault } in words.
export function toldOf(form, button, sheet) {
  const fields = new FormData(form);
  if (button?.name) fields.set(button.name, button.value);
  const verb = form.dataset.verb;
  const told = {};
  for (const [name, text] of fields) {
    if (name === "verb" || name === "form_id" || !text.trim()) continue;
    if (!name.endsWith("_length")) told[name] = NUMBERS.includes(name) ? Number(text) : text.trim();
    else {
      const um = lengthUm(text, sheet.unit);
      if (um === null) return { fault: say("no-length", { text, unit: sheet.unit }) };
      told[name.replace(/_length$/, "_um")] = um;
    }
  }
  for (const name of FIGURES) {
    if (!(name in told)) continue;
    told[name] = Number(told[name].replace(",", "."));
    if (!(told[name] >= 0)) return { fault: say("no-load") };
  }
  if (NUMBERS.some((name) => name in told && !Number.isInteger(told[name]))) return { fault: say("no-quantity") };
  if (IDS[verb]) told[IDS[verb]] = newId();
  // The page may have been drawn before this bar was there.
  if (sheet.bar && form.elements.bar_id && verb !== "load bar") told.bar_id = sheet.bar.id;
  if ("number" in told && sheet.bar) told.number = sheet.bar.number;
  const ofLoad = sheet.load && OF_LOAD[form.dataset.verb];
  return ofLoad ? ofLoad(told, sheet.load, form) : { verb, ...completed(form, verb, told, sheet) };
}

const ids = (pass, name) => (bar, at) => ({ bar_id: bar.id, [name]: `${pass}-${at + 1}`, number: bar.number });

// What the same forms tell while several bars lie in the vise: of all of them at once.
const OF_LOAD = {
  "log cut": (told, load, form) => {
    const isTrim = "trim" in form.dataset;
    const pass = load.todo[0];
    if (!isTrim && !pass) return { fault: say("nothing-to-cut") };
    if (told.scrapped && pass.step.kind === "facing") return { fault: say("facing-next") };
    if (told.scrapped && !told.of_bar) return { fault: say("choose-bar") };
    const made = { pass_id: newId(), load_id: load.id, kind: isTrim ? "trim" : pass.step.kind };
    for (const name of ["trim_um", "note", ...FIGURES]) if (told[name] !== undefined) made[name] = told[name];
    if (load.fewer_why && !load.log.length) made.fewer_why = load.fewer_why;
    made.cuts = load.bars.map(ids(made.pass_id, "cut_id"));
    for (const cut of made.cuts) {
      const piece = isTrim ? null : pass.pieces.find((one) => one.bar_id === cut.bar_id);
      if (piece?.line_id) cut.line_id = piece.line_id;
      if (told.scrapped && cut.bar_id === told.of_bar) cut.scrapped = told.scrapped;
    }
    return { verb: "cut load", told: made };
  },
  "undo cut": (told, load) => {
    const reject = load.rejected.at(-1);
    const bar = reject && load.bars.find((one) => one.id === reject.bar_id);
    if (bar) return { verb: "undo cut", told: { undo_id: newId(), bar_id: bar.id, number: bar.number, cut_id: reject.reject_id } };
    if (!load.last) return { fault: say("nothing-to-undo") };
    const through = load.log.at(-1).pieces.map((one) => one.bar_id);
    const pass = newId();
    return { verb: "undo load cut", told: { pass_id: load.last, undos: load.bars.filter((one) => through.includes(one.id)).map(ids(pass, "undo_id")) } };
  },
  "finish bar": (told, load) => {
    const left = (bar) => told[`left_of_${bar.id}_um`];
    const measured = load.bars.filter((bar) => left(bar) !== undefined).map((bar) => ({ bar_id: bar.id, left_um: left(bar) }));
    return { verb: "finish load", told: { load_id: load.id, measured } };
  },
};

// The piece that is measured next: of a load, that which was chosen, or the first that is due.
export function toMeasure(sheet, chosen = "") {
  const pieces = sheet.load ? newestOfLoad(sheet) : [];
  const one = pieces.find((piece) => piece.cut_id === (chosen || sheet.load.to_measure[0]?.cut_id)) ?? pieces[0];
  return one ? { ...pieceOfLoad(sheet, one.cut_id), words: one.words } : sheet.piece;
}

// The piece counted last; of a load, that of the bar which was chosen.
function chosenPiece(told, sheet) {
  if (!sheet.load) return sheet.piece;
  const piece = sheet.load.log.at(-1)?.pieces.find((one) => one.bar_id === told.of_bar);
  delete told.of_bar;
  return piece && { id: piece.cut_id };
}

// While first pieces of a load are due, one of another bar is measured beyond what is asked.
function kindOf(sheet, cutId) {
  const due = sheet.load?.to_measure ?? [];
  return !sheet.due || (due.length && !due.some((one) => one.cut_id === cutId)) ? "extra" : sheet.due;
}

function completed(form, verb, told, sheet) {
  if (verb === "log cut" && !("trim" in form.dataset)) {
    const next = sheet.bar?.todo[0];
    if (!next) return { fault: say("nothing-to-cut") };
    if (told.scrapped && next.kind === "facing") return { fault: say("facing-next") };
    told.kind = next.kind;
    if (next.line_id) told.line_id = next.line_id;
    else delete told.line_id;
  }
  // A band may come off with none to follow it.
  if (verb === "change band") told.on = told.on ?? null;
  if (verb === "undo cut") {
    const last = sheet.bar?.log.at(-1);
    if (!last) return { fault: say("nothing-to-undo") };
    told.cut_id = last.id;
  }
  if ("held" in form.dataset) {
    if (!sheet.held.length) return { fault: say("none-held") };
    told.cut_id = sheet.held[0].id;
  } else if (!("chosen" in form.dataset) && (verb === "inspect piece" || verb === "reject piece")) {
    const piece = verb === "inspect piece" ? toMeasure(sheet, told.cut_id) : chosenPiece(told, sheet);
    if (!piece) return { fault: say(sheet.piece ? "choose-bar" : "no-piece-yet") };
    told.cut_id = piece.id;
    if (verb === "inspect piece") told.kind = kindOf(sheet, piece.id);
  }
  if (verb === "change run" && !told.line_id && (told.quantity !== undefined || told.length_um !== undefined)) return { fault: say("choose-piece") };
  if (verb === "change run" && told.line_id) {
    const change = { line_id: told.line_id };
    if (told.quantity !== undefined) change.quantity = told.quantity;
    if (told.length_um !== undefined) change.length_um = told.length_um;
    if (Object.keys(change).length === 1) return { fault: say("key-change") };
    return { told: { run_id: told.run_id, changes: [change] } };
  }
  return { told };
}
