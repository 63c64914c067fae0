// Shows a load: the bars as they lie, what the next pass gives from each, and what single bars still need.
import { say } from "./words.js";

export function showLoad(panel, load) {
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
      place.querySelector(".vise-mark").textContent = bar ? (marks[bar.id] ?? "") : "";
    }
  }
  for (const list of panel.querySelectorAll("[data-list=places]")) choosePlace(list, load);
  for (const form of panel.querySelectorAll("[data-uncut]")) form.hidden = load.log.length > 0;
  list(panel, "alone", load.alone);
  list(panel, "bars-left", load.bars.map((bar, at) => say("bar-left", { place: at + 1, label: bar.label, left: bar.left })));
  showDials(panel, load);
}

function list(panel, name, lines) {
  for (const one of panel.querySelectorAll(`[data-list=${name}]`)) {
    one.replaceChildren(...lines.map((line) => Object.assign(document.createElement("li"), { textContent: line })));
  }
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
