// Folds of the head close with Escape and when attention goes elsewhere. Without this they open and close by
// their own name alone.
const open = () => document.querySelectorAll(".fold[open]");
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const fold of open()) {
    fold.open = false;
    if (fold.contains(document.activeElement)) fold.querySelector("summary").focus();
  }
});
for (const kind of ["click", "focusin"]) {
  document.addEventListener(kind, (event) => {
    for (const fold of open()) if (!fold.contains(event.target)) fold.open = false;
  });
}
