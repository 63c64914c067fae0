// Of the cut in hand: when the band went in and what load the motor showed. Neither need be told: both go with
// the next cut that is counted. Time between two counted cuts is never told as cutting time.
import { recall, remember } from "./panel-store.js";
import { clock, say } from "./words.js";

const LOADS = ["motor_load_percent", "motor_power_kw"];
const state = { began: "", bar: "", load: {}, counted: 0 };

const lasting = (seconds) => `${Math.floor(seconds / 60)}:${String(Math.round(seconds) % 60).padStart(2, "0")}`;

export async function recallBegin() {
  Object.assign(state, await recall("begun"));
}

// Seconds that the sheet's next cut is reckoned to take, 0 where they aren't known.
function seconds(sheet) {
  if (sheet.load) return sheet.load_seconds[sheet.load.bars.length] ?? 0;
  const angles = sheet.bar?.todo[0]?.angles ?? [];
  return angles.reduce((sum, angle) => sum + (sheet.cut_seconds[angle] ?? NaN), 0) || 0;
}

export function showCut(panel, sheet) {
  if (state.bar !== inSaw(sheet)) begin("", sheet);
  const button = panel.querySelector("#begins");
  const takes = seconds(sheet);
  button.hidden = !["cut", "pass"].includes(panel.dataset.scene);
  button.setAttribute("aria-pressed", state.began ? "true" : "false");
  const out = takes ? say("out-about", { time: clock(Date.parse(state.began) + 1000 * takes) }) : "";
  const note = state.began ? out : takes ? say("takes-about", { time: lasting(takes) }) : "";
  button.querySelector("b").textContent = state.began ? say("in-since", { time: clock(state.began) }) : say("band-in");
  button.querySelector("small").textContent = note;
  showLoad(panel);
}

const inSaw = (sheet) => sheet.load?.id ?? sheet.bar?.id ?? "";

function begin(at, sheet) {
  Object.assign(state, { began: at, bar: inSaw(sheet) });
  remember("begun", { began: state.began, bar: state.bar });
}

export function pressBegin(panel, sheet, now) {
  begin(state.began ? "" : now, sheet);
  showCut(panel, sheet);
}

// The cut's own times into what is told. It ended at this touch, but for cuts counted quickly after one another:
// those were made before.
export function addTimes(told, sheet, now) {
  const since = (Date.parse(now) - state.counted) / 1000;
  const next = (sheet.load?.todo[0] ?? { step: sheet.bar?.todo[0] }).step;
  // A last piece that lies in the vise already needs no cut.
  if (next?.takes_um > next?.needs_um) {
    if (state.began) told.began_at = state.began;
    if (state.began || since >= (seconds(sheet) || 10) / 2) told.ended_at = now;
  }
  state.counted = Date.parse(now);
  begin("", sheet);
  state.load = {};
}

export function noteLoad(field, panel) {
  if (!LOADS.includes(field.name) || !field.closest("#leaf-load")) return;
  state.load[field.name] = field.value;
  showLoad(panel);
}

// What was keyed stands in the forms that count a cut, and on the leaf's own button.
function showLoad(panel) {
  for (const name of LOADS) {
    for (const field of panel.querySelectorAll(`input[name="${name}"]`)) {
      if (field !== document.activeElement) field.value = state.load[name] ?? "";
    }
  }
  const { motor_load_percent: percent, motor_power_kw: power } = state.load;
  const load = [percent && `${percent} %`, power && `${power} kW`].filter(Boolean).join(", ");
  panel.querySelector("#leaf-load .when-shut").textContent = load ? say("load-on", { load }) : say("load-off");
}
