// Keys on the glass for who wears gloves: beside every field that says so, in place of the system's own.
import { say } from "./words.js";

const KEYS = {
  digits: [..."123456", ..."7890", "⌫"],
  number: [..."123456", ..."7890", ".", "⌫"],
  inch: [..."123456", ..."7890", ".", "/", "space", "⌫"],
  text: [..."1234567890", ..."ABCDEFGHIJKLMNOPQRSTUVWXYZ", "-", "space", "⌫"],
  label: [..."1234567890-/", "⌫", ..."ABCDEFGHIJKLM", ..."NOPQRSTUVWXYZ"],
};

export function addPads(root, unit) {
  for (const field of root.querySelectorAll("input[data-pad]")) {
    if (field.dataset.padded) continue;
    field.dataset.padded = "yes";
    field.setAttribute("inputmode", "none");
    const kind = field.dataset.pad === "number" && unit === "in" ? "inch" : field.dataset.pad;
    const pad = document.createElement("div");
    pad.className = `pad of-${kind}`;
    pad.setAttribute("role", "group");
    const named = root.querySelector(`label[for="${field.id}"]`);
    pad.setAttribute("aria-label", named ? say("keys-for", { field: named.textContent }) : say("keys"));
    pad.append(...KEYS[kind].map((key) => made(key, field)));
    // Where several fields share a place, keys are there only for the one that is keyed.
    const row = field.closest(".change");
    if (row || kind === "label" || kind === "text" || field.closest(".more, .also")) {
      pad.hidden = !field.matches("#label");
    }
    field.addEventListener("focus", () => open(field, pad));
    (row ? row : field).after(pad);
  }
}

function open(field, pad) {
  const place = field.closest(".more, .also, form");
  for (const other of place.parentElement.querySelectorAll(".pad")) other.hidden = other !== pad;
  pad.hidden = false;
  if (field.closest(".leaf-body")) pad.scrollIntoView({ block: "nearest" });
}

function made(key, field) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = key === "space" ? say("space") : key;
  if (key === "space") button.className = "is-space";
  if (key === "⌫") button.setAttribute("aria-label", say("delete"));
  button.addEventListener("pointerdown", (event) => event.preventDefault());
  button.addEventListener("click", () => {
    if (key === "⌫") field.value = field.value.slice(0, -1);
    else field.value += key === "space" ? " " : key;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
  return button;
}
