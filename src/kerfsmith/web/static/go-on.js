// The page of what is underway goes on to its result by itself, unless the person has begun to do something
// here. The words of the page say first that it is done, so that a screen reader has time to speak them.
const SPOKEN_MS = 1500;
const progress = document.querySelector("#progress");
const ready = () => progress.querySelector("[data-goes-on]");
let moved = false;
for (const kind of ["keydown", "pointerdown", "wheel", "touchstart", "focusin"]) {
  document.addEventListener(kind, () => { moved = true; }, { capture: true, once: true, passive: true });
}
if (progress && !ready()) {
  new MutationObserver((_, watch) => {
    if (!ready()) return;
    watch.disconnect();
    setTimeout(() => { if (!moved) location.assign(ready().href); }, SPOKEN_MS);
  }).observe(progress, { childList: true, subtree: true });
}
