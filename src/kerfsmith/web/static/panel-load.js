// A load as the panel reckons it: bars that lie in the vise together, each known by its place there, and passes
// of the band through all of them. The records reckon it again, and theirs holds.
import { line, measureDue } from "./panel-lines.js";
import { say } from "./words.js";

const FIRST = "first piece";

// ``3 pieces: 2 × P6, 1 × P7``, as the records say it.
function wordsOf(pieces) {
  const marks = pieces.map((one) => one.mark).filter(Boolean);
  if (!marks.length) return say("bars", { count: pieces.length });
  const times = (mark) => marks.filter((one) => one === mark).length;
  const list = [...new Set(marks)].map((mark) => say("times", { count: times(mark), label: mark })).join(", ");
  return say("pieces-of", { count: pieces.length, list });
}

export function layBar(sheet, told, planned) {
  sheet.load ??= {
    id: told.load_id, heading: "", at_once: planned.at_once, waiting: 0, is_open: true, fewer_why: "", bars: [],
    todo: planned.todo.map((step) => ({ step, pieces: [], words: "" })),
    log: [], last: "", alone: [], to_measure: [], dials: planned.dials, dials_note: "", vise: planned.vise,
  };
  const load = sheet.load;
  const serves = planned.serves[(planned.free_copy - 1) % planned.at_once];
  const cuts = planned.todo[0]?.kind === "facing" ? [{ line_id: "", mark: "" }, ...serves] : serves;
  load.todo.forEach((pass, turn) => {
    pass.pieces.push({ bar_id: told.bar_id, ...cuts[turn] });
    pass.words = wordsOf(pass.pieces);
  });
  const length = told.measured_um ?? planned.length_um;
  load.bars.push({ id: told.bar_id, label: told.label, heading: "", state: "loaded", number: 1, left_um: length, left: "", log: [], todo: [] });
  planned.free_copy += 1;
  nameLoad(load);
  load.waiting = Math.min(load.at_once - load.bars.length, planned.count);
  load.is_open = load.waiting > 0;
}

function nameLoad(load) {
  const labels = load.bars.map((one) => one.label);
  const times = (label) => labels.filter((one) => one === label).length;
  const list = [...new Set(labels)].map((label) => (times(label) > 1 ? say("times", { count: times(label), label }) : label));
  load.heading = say("load-heading", { count: labels.length, labels: list.join(", ") });
}

export function cutThrough(sheet, told) {
  const load = sheet.load;
  const bars = told.cuts.map((cut) => load?.bars.find((one) => one.id === cut.bar_id));
  if (load?.id !== told.load_id || bars.length !== load.bars.length) return;
  if (bars.some((bar, at) => bar?.number !== told.cuts[at].number)) return;
  const pass = told.kind === "trim" ? null : load.todo.shift();
  if (pass === undefined) return;
  const item = { id: told.pass_id, kind: told.kind, step: pass, alone: [] };
  item.pieces = bars.map((bar, at) => cutOf(sheet, told, told.cuts[at], bar, item));
  item.words = pass?.step.kind === "piece" ? passWords(sheet, item) : say(told.kind === "trim" ? "trim-cut" : "facing-cut");
  load.log.push(item);
  Object.assign(load, { last: told.pass_id, is_open: false, waiting: 0, fewer_why: told.fewer_why ?? load.fewer_why });
  sheet.due = load.to_measure.length ? FIRST : measureDue(sheet);
}

function passWords(sheet, item) {
  const length = `${item.step.step.dial} ${sheet.unit}`;
  const bad = item.pieces.filter((one) => one.outcome !== "good").length;
  const words = say("piece", { mark: wordsOf(item.pieces), length });
  return bad ? say("pass-bad", { words, bad }) : words;
}

function cutOf(sheet, told, cut, bar, item) {
  const step = item.step?.step;
  const taken = step ? Math.min(step.takes_um, bar.left_um) : told.trim_um;
  bar.left_um -= taken;
  bar.number += 1;
  const piece = item.step?.pieces.find((one) => one.bar_id === bar.id) ?? { bar_id: bar.id, line_id: "", mark: "" };
  if (told.kind !== "piece") return { ...piece, cut_id: cut.cut_id, outcome: "", taken_um: taken };
  const counted = line(sheet, piece.line_id);
  if (counted) counted[cut.scrapped ? "scrapped" : "good"] += 1;
  if (cut.scrapped) cutAlone(sheet, bar, piece, step, item);
  sheet.inspect.measured += 1;
  sheet.inspect.set_up += 1;
  sheet.piece = { id: cut.cut_id, line_id: piece.line_id, mark: piece.mark, length_um: step.length_um };
  askFor(sheet, bar, cut.cut_id, piece, step);
  return { ...piece, cut_id: cut.cut_id, outcome: cut.scrapped ? "scrapped" : "good", taken_um: taken };
}

const placeOf = (load, id) => load.bars.findIndex((one) => one.id === id) + 1;

// What is to be cut again is of one bar alone, which must be taken out for it.
function cutAlone(sheet, bar, piece, step, item) {
  const words = say("bar-alone", { place: placeOf(sheet.load, bar.id), mark: piece.mark, length: `${step.dial} ${sheet.unit}` });
  item.alone.push(words);
  sheet.load.alone.push(words);
}

// The first piece of every bar of a load is due: each is held by its neighbours, and one that slips shows on
// its own pieces only. As long as none of a bar was measured, its newest is asked for.
function askFor(sheet, bar, cutId, piece, step) {
  const { to_measure, log } = sheet.load;
  const asked = to_measure.find((one) => one.bar_id === bar.id);
  const words = say("piece-of-bar", { mark: piece.mark, length: `${step.dial} ${sheet.unit}`, place: placeOf(sheet.load, bar.id) });
  const due = { cut_id: cutId, bar_id: bar.id, words, allowed: step.allowed };
  if (asked) Object.assign(asked, due);
  else if (!log.some((one) => one.kind === "piece")) to_measure.push(due);
}

export function undoThrough(sheet, told) {
  const load = sheet.load;
  const item = load?.log.at(-1);
  if (!item || item.id !== told.pass_id || load.last !== told.pass_id) return;
  load.log.pop();
  for (const piece of item.pieces) {
    const bar = load.bars.find((one) => one.id === piece.bar_id);
    if (bar) Object.assign(bar, { number: bar.number + 1, left_um: bar.left_um + piece.taken_um });
    const counted = line(sheet, piece.line_id);
    if (counted && piece.outcome) counted[piece.outcome === "good" ? "good" : "scrapped"] -= 1;
    if (item.kind === "piece") for (const name of ["measured", "set_up"]) sheet.inspect[name] = Math.max(0, sheet.inspect[name] - 1);
  }
  const undone = item.pieces.map((one) => one.cut_id);
  load.to_measure = load.to_measure.filter((one) => !undone.includes(one.cut_id));
  load.alone = load.alone.filter((words) => !item.alone?.includes(words));
  if (item.step) load.todo.unshift(item.step);
  load.last = load.log.at(-1)?.id ?? "";
  sheet.due = "";
  if (undone.includes(sheet.piece?.id)) sheet.piece = null;
}

// The bar leaves the load and stays in the saw; back on the rack it leaves the saw.
export function takeOut(sheet, told, stays = true) {
  const load = sheet.load;
  const bar = load?.bars.find((one) => one.id === told.bar_id);
  if (!bar) return false;
  load.bars = load.bars.filter((one) => one !== bar);
  const own = [];
  for (const pass of load.todo) {
    own.push(...pass.pieces.filter((one) => one.bar_id === bar.id).map((one) => ({ ...pass.step, line_id: one.line_id, mark: one.mark || pass.step.mark })));
    pass.pieces = pass.pieces.filter((one) => one.bar_id !== bar.id);
    pass.words = wordsOf(pass.pieces);
  }
  load.todo = load.todo.filter((one) => one.pieces.length);
  load.to_measure = load.to_measure.filter((one) => one.bar_id !== bar.id);
  if (stays) sheet.beside.push({ ...bar, heading: say("bar-heading", { label: bar.label, words: "" }), strip: "", todo: own });
  if (load.bars.length) nameLoad(load);
  else handOver(sheet, []);
  return true;
}

// The load is no more: its bars, and those beside it, come to hand one by one.
function handOver(sheet, bars) {
  sheet.load = null;
  sheet.beside = [...bars, ...sheet.beside];
  nextInHand(sheet);
}

export function nextInHand(sheet) {
  sheet.bar = sheet.load ? null : (sheet.beside?.shift() ?? null);
}

export function finishLoad(sheet, told) {
  if (sheet.load?.id !== told.load_id) return;
  for (const { bar_id, left_um } of told.measured ?? []) {
    const bar = sheet.load.bars.find((one) => one.id === bar_id);
    if (bar) bar.left_um = left_um;
  }
  handOver(sheet, sheet.load.bars.filter((one) => one.left_um > 0).map((one) => ({ ...one, state: "finished" })));
}

// A piece counted in a load, with the length that its pass had.
export function pieceOfLoad(sheet, cutId) {
  for (const item of sheet.load?.log ?? []) {
    const piece = item.pieces.find((one) => one.cut_id === cutId);
    if (piece && item.step) return { id: cutId, line_id: piece.line_id, mark: piece.mark, length_um: item.step.step.length_um, piece, item };
  }
  return null;
}

export function measuredInLoad(sheet, cutId) {
  if (!sheet.load) return;
  sheet.load.to_measure = sheet.load.to_measure.filter((one) => one.cut_id !== cutId);
  sheet.due = sheet.load.to_measure.length ? FIRST : "";
}

export function rejectInLoad(sheet, cutId) {
  const found = pieceOfLoad(sheet, cutId);
  if (found?.piece.outcome !== "good") return;
  found.piece.outcome = "rejected";
  const bar = sheet.load.bars.find((one) => one.id === found.piece.bar_id);
  if (bar) {
    bar.number += 1;
    cutAlone(sheet, bar, found.piece, found.item.step.step, { alone: [] });
  }
  const counted = line(sheet, found.line_id);
  if (counted) Object.assign(counted, { good: counted.good - 1, scrapped: counted.scrapped + 1 });
  sheet.load.last = "";
}
