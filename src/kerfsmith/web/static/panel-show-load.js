// Shows a load: the bars as they lie, what the next pass gives from each, and what single bars still need.
import { aloneNow, newestOfLoad } from "./panel-load.js";
import { addPads } from "./panel-pad.js";
import { say } from "./words.js";

export function showLoad(panel, sheet, load) {
  const next = load.todo[0];
  const marks = Object.fromEntries((next?.pieces ?? []).map((one) => [one.bar_id, one.mark]));
  for (const holder of panel.querySelectorAll("[data-show=vise]")) {
    if (holder.dataset.load !== load.id) {
      holder.innerHTML = load.vise;
      holder.dataset.load = load.id;
    }
    for (const place of holder.querySelectorAll("[data-place]")) {
      const bar = load.bars[Number(place.dataset.place) - 1];
      place.setAttribute("class", bar ? "is-laid" : "is-empty");
      place.querySelector(".vise-mark").textContent = bar ? shortened(marks[bar.id] ?? "", Number(place.dataset.letters)) : "";
    }
  }
  for (const list of panel.querySelectorAll("[data-list=places]")) choosePlace(list, load);
  for (const form of panel.querySelectorAll("[data-uncut]")) form.hidden = load.log.length > 0;
  showAlone(panel, aloneNow(load, sheet.unit));
  for (const holder of panel.querySelectorAll("[data-list=lefts]")) askLefts(holder, panel, load, sheet.unit);
  for (const holder of panel.querySelectorAll("[data-list=newest]")) chooseNewest(holder, sheet);
  list(panel, "bars-left", load.bars.map((bar, at) => say("bar-left", { place: at + 1, label: bar.label, left: bar.left })));
  showDials(panel, load);
}

// As the records shorten it: a mark must not run into its neighbour's.
const shortened = (mark, letters) => (mark.length <= letters ? mark : `${mark.slice(0, letters - 1)}…`);

function list(panel, name, lines) {
  for (const one of panel.querySelectorAll(`[data-list=${name}]`)) {
    one.replaceChildren(...lines.map((line) => Object.assign(document.createElement("li"), { textContent: line })));
  }
}

function showAlone(panel, alone) {
  list(panel, "alone", alone.map((one) => one.words));
  panel.querySelector("[data-show=missing]").textContent = alone[0]?.words ?? "";
  const next = alone.find((one) => one.fits);
  const form = panel.querySelector("[data-alone-next]");
  form.hidden = !next;
  if (!next) return;
  form.elements.bar_id.value = next.bar_id;
  form.querySelector("button").textContent = say("cut-alone", { place: next.place });
}

// A field for what is left of each bar, by the rule.
function askLefts(holder, panel, load, unit) {
  const bars = load.bars.map((one) => one.id).join(" ");
  load.bars.forEach((bar, at) => {
    const named = holder.querySelector(`label[for=left-of-${at + 1}]`);
    if (named && holder.dataset.bars === bars) named.textContent = leftWords(bar, at);
  });
  if (holder.dataset.bars === bars) return;
  holder.dataset.bars = bars;
  for (const pad of holder.parentElement.querySelectorAll(".pad")) pad.remove();
  holder.replaceChildren(
    ...load.bars.map((bar, at) => {
      const box = document.createElement("div");
      const named = Object.assign(document.createElement("label"), { htmlFor: `left-of-${at + 1}`, textContent: leftWords(bar, at) });
      const field = Object.assign(document.createElement("input"), { id: `left-of-${at + 1}`, name: `left_of_${bar.id}_length`, autocomplete: "off" });
      field.dataset.pad = "number";
      box.append(named, field);
      return box;
    }),
  );
  addPads(panel, unit);
}

const leftWords = (bar, at) => say("left-of", { place: at + 1, label: bar.label, left: bar.left });

// The piece of each bar that may be measured; chosen is the one that is due.
function chooseNewest(holder, sheet) {
  const pieces = newestOfLoad(sheet);
  const due = sheet.load.to_measure[0]?.cut_id ?? pieces[0]?.cut_id;
  const text = JSON.stringify([pieces, due]);
  if (holder.dataset.told === text) return;
  holder.dataset.told = text;
  const choices = pieces.map((piece) => {
    const choice = Object.assign(document.createElement("label"), { className: "name-choice" });
    // By default too, for a form that was sent is reset.
    const chosen = piece.cut_id === due;
    choice.append(Object.assign(document.createElement("input"), { type: "radio", name: "cut_id", value: piece.cut_id, defaultChecked: chosen, checked: chosen }), say("place-label", { place: piece.place, label: piece.mark }));
    return choice;
  });
  holder.replaceChildren(holder.querySelector("legend"), ...choices);
}

// A bar of the load to be chosen, by its place and label.
function choosePlace(holder, load) {
  const bars = load.bars.map((one) => one.id).join(" ");
  if (holder.dataset.bars === bars) return;
  holder.dataset.bars = bars;
  const choices = load.bars.map((bar, at) => {
    const choice = document.createElement("label");
    choice.className = "name-choice";
    choice.append(Object.assign(document.createElement("input"), { type: "radio", name: holder.dataset.name, value: bar.id }));
    choice.append(say("place-label", { place: at + 1, label: bar.label }));
    return choice;
  });
  holder.replaceChildren(holder.querySelector("legend"), ...choices);
}

function showDials(panel, load) {
  const holder = panel.querySelector("[data-load-dials]");
  const text = JSON.stringify([load.dials, load.dials_note]);
  if (holder.dataset.told === text) return;
  holder.dataset.told = text;
  holder.replaceChildren(
    ...load.dials.map((dial) => {
      const box = document.createElement("div");
      const value = Object.assign(document.createElement("dd"), { textContent: dial.value });
      if (dial.note) value.append(Object.assign(document.createElement("small"), { textContent: dial.note }));
      box.append(Object.assign(document.createElement("dt"), { textContent: dial.label }), value);
      return box;
    }),
  );
  const note = panel.querySelector("[data-show=dials-note]");
  note.textContent = load.dials_note;
  note.hidden = !load.dials_note;
}
