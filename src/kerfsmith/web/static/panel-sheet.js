// The run as the panel reckons it while the records can't be asked: a sheet, and what one event makes of it.
// The records reckon it again, and theirs holds; this only has to say what comes next.
import { line, measureDue } from "./panel-lines.js";
import { cutThrough, finishLoad, layBar, measuredInLoad, nextInHand, pieceOfLoad, rejectInLoad, takeOut, undoReject, undoThrough } from "./panel-load.js";
import { named, say } from "./words.js";

const clone = (sheet) => structuredClone(sheet);

export function sceneOf(sheet) {
  if (sheet.finished) return "over";
  if (sheet.held.length) return "held";
  if (!sheet.band) return "band";
  if (sheet.load) return sheet.load.is_open ? "lay" : sheet.load.todo.length ? "pass" : "clear";
  if (sheet.bar) return sheet.bar.state === "finished" ? "rest" : sheet.bar.todo.length ? "cut" : "out";
  if (!sheet.lines.some((line) => line.wanted > line.good)) return "done";
  return sheet.waiting.length ? "load" : "short";
}

// Why a bar can't be loaded, as far as this panel knows; null where it can.
export function loadable(sheet, rack, label) {
  const waits = sheet.waiting.filter((one) => one.count > 0);
  const own = waits.find((one) => one.label === label && !one.to_buy);
  if (own) return { bar: own };
  const known = rack[label];
  if (!known) return { why: say("unknown-label", { label }), remedy: say("key-again") };
  const [grade, section, heat, length] = known;
  const other = (has, needs) => ({ why: say("other-material", { label, has, needs }), remedy: say("back-to-rack") });
  if (grade !== sheet.grade) return other(grade, sheet.grade);
  if (section !== sheet.section) return other(section, sheet.section);
  const asLong = waits.filter((one) => one.length_um === length);
  if (!asLong.length) return { why: say("other-length", { label }), remedy: say("load-wanted") };
  const equal = asLong.find((one) => one.to_buy || one.heat === heat);
  const heatOf = (number) => number || say("heat-unknown");
  if (!equal) return { why: say("other-heat", { label, has: heatOf(heat), needs: heatOf(asLong[0].heat) }), remedy: say("load-wanted") };
  return { bar: equal, heat };
}

function cut(sheet, told) {
  const bar = sheet.bar;
  if (!bar || bar.id !== told.bar_id || bar.number !== told.number) return;
  bar.number += 1;
  if (told.kind === "trim") {
    bar.left_um -= told.trim_um;
    bar.log.push({ id: told.cut_id, kind: "trim", line_id: "", words: say("trim-cut"), outcome: "", taken_um: told.trim_um, step: null });
    return;
  }
  const at = bar.todo.findIndex((one) => (told.kind === "facing" ? one.kind === "facing" : one.line_id === told.line_id));
  const step = bar.todo[at];
  if (!step) return;
  const taken = Math.min(step.takes_um, bar.left_um);
  bar.left_um -= taken;
  const item = { id: told.cut_id, kind: told.kind, line_id: step.line_id, outcome: "", taken_um: taken, step };
  if (told.kind === "facing") {
    bar.todo.splice(at, 1);
    item.words = say("facing-cut");
  } else {
    countPiece(sheet, told, item, step, at);
  }
  bar.log.push(item);
}

function countPiece(sheet, told, item, step, at) {
  const counted = line(sheet, step.line_id);
  item.outcome = told.scrapped ? "scrapped" : "good";
  const words = { mark: step.mark, length: step.dial, unit: sheet.unit, outcome: named(item.outcome), reason: named(told.scrapped) };
  item.words = say(told.scrapped ? "piece-scrapped" : "piece-cut", words);
  if (told.scrapped) {
    if (counted) counted.scrapped += 1;
    item.step = null;
  } else {
    sheet.bar.todo.splice(at, 1);
    if (counted) counted.good += 1;
  }
  sheet.inspect.measured += 1;
  sheet.inspect.set_up += 1;
  sheet.due = measureDue(sheet);
  sheet.piece = { id: told.cut_id, line_id: step.line_id, mark: step.mark, length_um: step.length_um };
}

function undo(sheet, told) {
  if (sheet.load) return undoReject(sheet, told);
  const bar = sheet.bar;
  const last = bar?.log.at(-1);
  if (!last || last.id !== told.cut_id || bar.number !== told.number) return;
  bar.number += 1;
  bar.log.pop();
  bar.left_um += last.taken_um;
  const counted = line(sheet, last.line_id);
  if (last.step) bar.todo = [...bar.todo, last.step].sort((a, b) => a.order - b.order);
  if (last.kind === "piece") {
    if (counted && last.outcome === "good") counted.good -= 1;
    if (counted && last.outcome === "scrapped") counted.scrapped -= 1;
    sheet.inspect.measured = Math.max(0, sheet.inspect.measured - 1);
    sheet.inspect.set_up = Math.max(0, sheet.inspect.set_up - 1);
    sheet.due = "";
    if (sheet.piece?.id === last.id) sheet.piece = null;
  }
}

// Whether a piece of a line that is so much over is out of what is allowed: "too long", "too short" or "".
export function outOf(sheet, lineId, over) {
  const allowed = line(sheet, lineId);
  if (allowed && allowed.plus_um !== null && over > allowed.plus_um) return "too long";
  return allowed && allowed.minus_um !== null && over < -allowed.minus_um ? "too short" : "";
}

// A piece that is out is held, and the next is a first piece again; a good one takes the doubt from those before it.
function inspect(sheet, told) {
  sheet.inspect.measured = 0;
  sheet.due = "";
  const piece = sheet.piece?.id === told.cut_id ? sheet.piece : pieceOfLoad(sheet, told.cut_id);
  measuredInLoad(sheet, told.cut_id);
  const over = piece ? told.measured_um - piece.length_um : 0;
  const out = piece ? outOf(sheet, piece.line_id, over) : "";
  if (out) {
    sheet.inspect.set_up = 0;
    if (!sheet.held.some((one) => one.id === piece.id)) sheet.held.push({ id: piece.id, line_id: piece.line_id, length_um: piece.length_um, words: piece.mark, measured: out, is_short: out === "too short" });
  }
  const at = sheet.doubtful.indexOf(told.cut_id);
  if (at >= 0) sheet.doubtful = sheet.doubtful.slice(at + 1);
}

function reject(sheet, told) {
  sheet.held = sheet.held.filter((one) => one.id !== told.cut_id);
  sheet.doubtful = sheet.doubtful.filter((one) => one !== told.cut_id);
  rejectInLoad(sheet, told);
  const bar = sheet.bar;
  const item = bar?.log.find((one) => one.id === told.cut_id && one.outcome === "good");
  if (!item) return;
  bar.number += 1;
  item.outcome = "rejected";
  const counted = line(sheet, item.line_id);
  if (counted) {
    counted.good -= 1;
    counted.scrapped += 1;
  }
  if (item.step) bar.todo = [...bar.todo, { ...item.step, key: `again-${item.id}` }].sort((a, b) => a.order - b.order);
  bar.log.push({ id: told.reject_id, kind: "reject", line_id: item.line_id, words: say("piece-rejected", { mark: counted?.mark ?? "", reason: named(told.reason) }), outcome: "scrapped", taken_um: 0, step: null });
  item.step = null;
}

function load(sheet, told, rack) {
  if (sheet.bar) return;
  const { bar, heat } = loadable(sheet, rack, told.label);
  if (!bar) return;
  bar.count -= 1;
  if (told.load_id) {
    layBar(sheet, told, bar);
    sheet.waiting = sheet.waiting.filter((one) => one.count > 0);
    return;
  }
  const length = told.measured_um ?? bar.length_um;
  sheet.bar = { id: told.bar_id, label: told.label, heading: say("bar-heading", { label: told.label, words: bar.heading }), state: "loaded", number: 1, left_um: length, left: "", strip: bar.strip, log: [], todo: bar.todo, waits: bar.label, heat: heat ?? bar.heat };
  sheet.waiting = sheet.waiting.filter((one) => one.count > 0);
}

const ACTS = {
  "load bar": load,
  "log cut": cut,
  "undo cut": undo,
  "reject piece": reject,
  "cut load": cutThrough,
  "undo load cut": undoThrough,
  "take out bar": (sheet, told) => void takeOut(sheet, told),
  "finish load": finishLoad,
  "return bar": (sheet, told) => void (takeOut(sheet, told, false) || nextInHand(sheet)),
  "measure bar": (sheet, told) => {
    const bar = [sheet.bar, ...(sheet.load?.bars ?? [])].find((one) => one?.id === told.bar_id);
    if (bar) bar.left_um = told.left_um;
  },
  "inspect piece": inspect,
  "measure again": (sheet, told) => {
    const held = sheet.held.find((one) => one.id === told.cut_id);
    const over = held && told.measured_um - held.length_um;
    if (held && !outOf(sheet, held.line_id, over)) sheet.held = sheet.held.filter((one) => one !== held);
  },
  "accept piece": (sheet, told) => void (sheet.held = sheet.held.filter((one) => one.id !== told.cut_id)),
  "accept doubtful": (sheet) => void (sheet.doubtful = []),
  "finish bar": (sheet, told) => {
    if (sheet.bar?.id !== told.bar_id) return;
    if (told.measured_um !== undefined) sheet.bar.left_um = told.measured_um;
    sheet.bar.state = "finished";
    if (!sheet.bar.left_um) nextInHand(sheet);
  },
  "put away": (sheet, told) => {
    if (sheet.bar?.id !== told.bar_id) return;
    sheet.free_labels = sheet.free_labels.filter((one) => one !== told.label);
    sheet.free_label = sheet.free_labels[0] ?? sheet.free_label;
    nextInHand(sheet);
  },
  "scrap remnant": (sheet, told) => void (sheet.bar?.id === told.bar_id && nextInHand(sheet)),
  "stop saw": (sheet, told) => void (sheet.stop = told.reason),
  "resume saw": (sheet) => void (sheet.stop = ""),
  "change band": (sheet, told) => {
    sheet.band = told.on ?? "";
    sheet.inspect.set_up = 0;
    sheet.due = "";
  },
  "finish run": (sheet) => void (sheet.finished = true),
};

// The sheet after one event. An event that the sheet knows already leaves it as it is.
export function after(sheet, event, rack) {
  const next = clone(sheet);
  ACTS[event.verb]?.(next, event.told, rack);
  return next;
}
