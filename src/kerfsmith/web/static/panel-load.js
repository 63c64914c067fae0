// A load as the panel reckons it: bars that lie in the vise together, each known by its place there, and passes
// of the band through all of them. The records reckon it again, and theirs holds.
import { line, measureDue } from "./panel-lines.js";
import { named, say } from "./words.js";

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
    log: [], last: "", rejected: [], alone: [], to_measure: [], dials: planned.dials, dials_note: "", vise: planned.vise,
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
  const before = { todo: pass ? [pass, ...load.todo] : load.todo, alone: load.alone };
  const item = { id: told.pass_id, kind: told.kind, step: pass, before };
  load.alone = [...load.alone];
  item.pieces = bars.map((bar, at) => cutOf(sheet, told, told.cuts[at], bar, item));
  item.words = pass?.step.kind === "piece" ? passWords(sheet, item) : say(told.kind === "trim" ? "trim-cut" : "facing-cut");
  load.log.push(item);
  joinAlone(load);
  Object.assign(load, { last: told.pass_id, rejected: [], is_open: false, waiting: 0, fewer_why: told.fewer_why ?? load.fewer_why });
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
  if (cut.scrapped) cutAlone(sheet.load, bar, piece, step);
  sheet.inspect.measured += 1;
  sheet.inspect.set_up += 1;
  sheet.piece = { id: cut.cut_id, line_id: piece.line_id, mark: piece.mark, length_um: step.length_um };
  askFor(sheet, bar, cut.cut_id, piece, step);
  return { ...piece, cut_id: cut.cut_id, outcome: cut.scrapped ? "scrapped" : "good", taken_um: taken };
}

const placeOf = (load, id) => load.bars.findIndex((one) => one.id === id) + 1;

// What is to be cut again is of one bar alone, which is taken out for it.
function cutAlone(load, bar, piece, step) {
  load.alone.push({ bar_id: bar.id, step: { ...step, line_id: piece.line_id, mark: piece.mark } });
}

// What every bar needs again is a pass through all of them.
function joinAlone(load) {
  for (const { step } of load.alone) {
    const like = load.bars.map((bar) => load.alone.find((one) => one.bar_id === bar.id && one.step.dial === step.dial));
    if (like.includes(undefined)) continue;
    load.alone = load.alone.filter((one) => !like.includes(one));
    const pieces = like.map((one) => ({ bar_id: one.bar_id, line_id: one.step.line_id, mark: one.step.mark }));
    load.todo = [...load.todo, { step: like[0].step, pieces, words: wordsOf(pieces) }].sort((a, b) => a.step.order - b.step.order);
    return joinAlone(load);
  }
}

// What single bars need, each with its place and whether what the passes leave of its bar suffices.
export function aloneNow(load, unit) {
  const passes = load.todo.reduce((sum, pass) => sum + pass.step.takes_um, 0);
  const room = Object.fromEntries(load.bars.map((bar) => [bar.id, bar.left_um - passes]));
  return load.alone.map(({ bar_id, step }) => {
    const fits = step.needs_um <= room[bar_id];
    if (fits) room[bar_id] -= step.takes_um;
    const place = placeOf(load, bar_id);
    const words = say(fits ? "bar-alone" : "alone-misfit", { place, mark: step.mark, length: `${step.dial} ${unit}` });
    return { bar_id, place, words, fits };
  });
}

// The newest good piece of each bar, which may be measured.
export function newestOfLoad(sheet) {
  const load = sheet.load;
  return load.bars.flatMap((bar, at) => {
    for (const item of [...load.log].reverse()) {
      const piece = item.pieces.find((one) => one.bar_id === bar.id && one.outcome === "good");
      if (!piece || !item.step) continue;
      const { dial, allowed } = item.step.step;
      return [{ cut_id: piece.cut_id, bar_id: bar.id, place: at + 1, mark: piece.mark, allowed, words: say("piece-of-bar", { mark: piece.mark, length: `${dial} ${sheet.unit}`, place: at + 1 }) }];
    }
    return [];
  });
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
  if (item.before) Object.assign(load, item.before);
  else takeBack(load, item);
  load.last = load.log.at(-1)?.id ?? "";
  sheet.due = "";
  if (undone.includes(sheet.piece?.id)) sheet.piece = null;
}

// A pass that the records told of: what it was is to be made again, what it spoilt isn't to be cut again.
function takeBack(load, item) {
  for (const piece of item.pieces.filter((one) => one.outcome === "scrapped")) takeOneBack(load, piece.bar_id, piece.line_id);
  if (item.step) load.todo.unshift(item.step);
}

function takeOneBack(load, barId, lineId) {
  const at = load.alone.findIndex((one) => one.bar_id === barId && one.step.line_id === lineId);
  if (at >= 0) load.alone.splice(at, 1);
}

// The bar leaves the load and stays in the saw; back on the rack it leaves the saw.
export function takeOut(sheet, told, stays = true) {
  const load = sheet.load;
  const bar = load?.bars.find((one) => one.id === told.bar_id);
  if (!bar) return false;
  load.bars = load.bars.filter((one) => one !== bar);
  const own = load.alone.filter((one) => one.bar_id === bar.id).map((one) => one.step);
  load.alone = load.alone.filter((one) => one.bar_id !== bar.id);
  for (const pass of load.todo) {
    own.push(...pass.pieces.filter((one) => one.bar_id === bar.id).map((one) => ({ ...pass.step, line_id: one.line_id, mark: one.mark || pass.step.mark })));
    pass.pieces = pass.pieces.filter((one) => one.bar_id !== bar.id);
    pass.words = wordsOf(pass.pieces);
  }
  load.todo = load.todo.filter((one) => one.pieces.length);
  load.to_measure = load.to_measure.filter((one) => one.bar_id !== bar.id);
  load.rejected = load.rejected.filter((one) => one.bar_id !== bar.id);
  if (stays) sheet.beside.push({ ...bar, heading: say("bar-heading", { label: bar.label, words: "" }), strip: "", todo: own.sort((a, b) => a.order - b.order) });
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

export function rejectInLoad(sheet, { cut_id: cutId, reject_id, reason }) {
  const found = pieceOfLoad(sheet, cutId);
  if (found?.piece.outcome !== "good") return;
  const before = { todo: sheet.load.todo, alone: sheet.load.alone };
  sheet.load.alone = [...sheet.load.alone];
  found.piece.outcome = "rejected";
  const bar = sheet.load.bars.find((one) => one.id === found.piece.bar_id);
  if (bar) {
    bar.number += 1;
    cutAlone(sheet.load, bar, found.piece, found.item.step.step);
    joinAlone(sheet.load);
  }
  const counted = line(sheet, found.line_id);
  if (counted) Object.assign(counted, { good: counted.good - 1, scrapped: counted.scrapped + 1 });
  sheet.load.last = "";
  if (bar) sheet.load.rejected.push({ bar_id: bar.id, reject_id, cut_id: cutId, number: bar.number, before, words: say("piece-rejected", { mark: found.mark, reason: named(reason) }) });
}

// The piece that was rejected last is good again.
export function undoReject(sheet, told) {
  const load = sheet.load;
  const one = load.rejected.at(-1);
  const bar = load.bars.find((candidate) => candidate.id === one?.bar_id);
  if (!bar || one.reject_id !== told.cut_id) return;
  load.rejected.pop();
  bar.number += 1;
  const found = pieceOfLoad(sheet, one.cut_id);
  if (found) found.piece.outcome = "good";
  const counted = found && line(sheet, found.line_id);
  if (counted) Object.assign(counted, { good: counted.good + 1, scrapped: counted.scrapped - 1 });
  if (one.before) Object.assign(load, one.before);
  else takeOneBack(load, bar.id, found?.line_id);
  if (!load.rejected.length) load.last = load.log.at(-1)?.id ?? "";
}
