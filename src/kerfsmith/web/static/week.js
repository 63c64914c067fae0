// The week's picture under hand: a block is dragged with mouse, pen or finger, or moved by the arrow keys. Every
// move is a question to the server, which lays the week anew and answers with what it costs; the page is whole
// without this, by the forms of the run that is chosen.
import { say } from "./words.js";

const HOLD_MS = 250; // A finger rests so long on a block before it drags; sooner it scrolls.
const SLACK_PX = 6;

const told = (words) => {
  const region = document.querySelector("#week-told");
  if (region) region.textContent = words;
};

async function send(run, saw, place) {
  const answer = await fetch("/api/week/move", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ run, saw, place }),
  });
  if (answer.ok) return "";
  const said = await answer.json().catch(() => ({}));
  return [said.problem, said.remedy].filter(Boolean).join(". ") || say("not-changed");
}

async function redraw(run) {
  const path = new URL(location.href);
  path.searchParams.set("run", run);
  path.hash = "";
  const answer = await fetch(path, { headers: { "x-week": "board" } });
  if (!answer.ok || answer.redirected) return location.reload();
  const before = document.querySelector(".week-scroll");
  const scrolled = before ? before.scrollLeft : 0;
  document.querySelector("#week").innerHTML = await answer.text();
  history.replaceState(null, "", path);
  document.querySelector(".week-scroll").scrollLeft = scrolled;
  const block = [...document.querySelectorAll(".week-run")].find((one) => one.dataset.run === run);
  if (block) {
    block.focus({ preventScroll: true });
    told(block.getAttribute("aria-label"));
  }
}

class WeekBoard extends HTMLElement {
  connectedCallback() {
    this.held = null;
    this.addEventListener("pointerdown", (event) => this.take(event));
    this.addEventListener("pointermove", (event) => this.move(event));
    this.addEventListener("pointerup", (event) => this.drop(event));
    this.addEventListener("pointercancel", () => this.letGo());
    this.addEventListener("click", (event) => this.click(event), true);
    this.addEventListener("keydown", (event) => this.key(event));
    this.addEventListener("dragstart", (event) => event.preventDefault());
    // A finger that holds a block must not scroll the page under it.
    this.addEventListener("touchmove", (event) => this.held?.lifted && event.preventDefault(), { passive: false });
    this.addEventListener("contextmenu", (event) => this.held && event.preventDefault());
    const now = this.querySelector(".week-run.is-chosen");
    if (now) now.scrollIntoView({ block: "nearest", inline: "center" });
  }

  rows() {
    return [...this.querySelectorAll(".week-saw")];
  }

  blocks(row) {
    return [...row.querySelectorAll("[data-movable], .week-run:not(.is-gone)")].sort(
      (one, other) => Number(one.dataset.start) - Number(other.dataset.start),
    );
  }

  take(event) {
    const block = event.target.closest?.(".week-run[data-movable]");
    if (!block || event.button !== 0 || this.busy) return;
    this.held = { block, id: event.pointerId, x: event.clientX, y: event.clientY, lifted: false, late: false };
    if (event.pointerType === "touch") {
      this.held.timer = setTimeout(() => this.lift(event.pointerId), HOLD_MS);
    }
  }

  lift(id) {
    if (!this.held || this.held.lifted) return;
    this.held.lifted = true;
    const { block } = this.held;
    block.classList.add("is-held");
    this.setPointerCapture(id);
    for (const row of this.rows()) {
      if (!block.dataset.saws.split(" ").includes(row.dataset.saw)) row.classList.add("is-closed");
    }
  }

  move(event) {
    const held = this.held;
    if (!held || event.pointerId !== held.id) return;
    const far = Math.hypot(event.clientX - held.x, event.clientY - held.y) > SLACK_PX;
    if (!held.lifted && event.pointerType === "touch") {
      if (far) this.letGo();
      return;
    }
    if (!held.lifted && far) this.lift(event.pointerId);
    if (!held.lifted) return;
    held.block.setAttribute("transform", `translate(${event.clientX - held.x} ${event.clientY - held.y})`);
    this.show(this.aim(event));
  }

  // Where a block would go: the row under the pointer, and before which block of it.
  aim(event) {
    const { block, x } = this.held;
    const row = this.rows().find((one) => {
      const box = one.querySelector(".week-row").getBoundingClientRect();
      return event.clientY >= box.top && event.clientY < box.bottom;
    });
    if (!row || !block.dataset.saws.split(" ").includes(row.dataset.saw)) return null;
    const left = Number(block.dataset.start) + event.clientX - x;
    const others = this.blocks(row).filter((one) => one !== block);
    const middle = (one) => (Number(one.dataset.start) + Number(one.dataset.end)) / 2;
    const place = others.filter((one) => middle(one) < left).length;
    const before = others[place - 1];
    const after = others[place];
    const at = after ? Number(after.dataset.start) - 2 : before ? Number(before.dataset.end) + 2 : left;
    return { row, place, at };
  }

  show(aim) {
    this.querySelector(".week-drop")?.remove();
    if (!aim) return;
    const box = aim.row.querySelector(".week-row");
    const line = document.createElementNS("http://www.w3.org/2000/svg", "line");
    const y = Number(box.getAttribute("y"));
    for (const [name, value] of Object.entries({ x1: aim.at, x2: aim.at, y1: y + 4, y2: y + 100 })) {
      line.setAttribute(name, value);
    }
    line.setAttribute("class", "week-drop");
    this.querySelector("svg.week-picture").append(line);
  }

  async drop(event) {
    const held = this.held;
    if (!held || event.pointerId !== held.id) return;
    const aim = held.lifted ? this.aim(event) : null;
    this.dragged = held.lifted;
    this.letGo();
    if (aim) await this.put(held.block, aim.row.dataset.saw, aim.place);
  }

  letGo() {
    if (!this.held) return;
    clearTimeout(this.held.timer);
    const { block } = this.held;
    block.classList.remove("is-held");
    block.removeAttribute("transform");
    for (const row of this.rows()) row.classList.remove("is-closed");
    this.querySelector(".week-drop")?.remove();
    this.held = null;
  }

  click(event) {
    // The click that ends a drag is no wish to follow the block's link.
    if (this.dragged) {
      event.preventDefault();
      event.stopPropagation();
    }
    this.dragged = false;
  }

  key(event) {
    const block = event.target.closest?.(".week-run[data-movable]");
    if (!block || event.altKey || event.ctrlKey || event.metaKey || this.busy) return;
    const row = block.closest(".week-saw");
    const place = this.blocks(row).indexOf(block);
    if (event.key === "ArrowLeft" || event.key === "ArrowRight") {
      event.preventDefault();
      const to = place + (event.key === "ArrowLeft" ? -1 : 1);
      if (to >= 0 && to < this.blocks(row).length) this.put(block, row.dataset.saw, to);
      else told(block.getAttribute("aria-label"));
    }
    if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      event.preventDefault();
      const rows = this.rows();
      const step = event.key === "ArrowUp" ? -1 : 1;
      const saws = block.dataset.saws.split(" ");
      for (let at = rows.indexOf(row) + step; at >= 0 && at < rows.length; at += step) {
        if (!saws.includes(rows[at].dataset.saw)) continue;
        const start = Number(block.dataset.start);
        const to = this.blocks(rows[at]).filter((one) => Number(one.dataset.start) < start).length;
        this.put(block, rows[at].dataset.saw, to);
        return;
      }
      told(say("no-other-saw"));
    }
  }

  async put(block, saw, place) {
    const { run } = block.dataset;
    const row = block.closest(".week-saw");
    if (row.dataset.saw === saw && this.blocks(row).indexOf(block) === place) return;
    this.busy = true;
    try {
      const problem = await send(run, saw, place);
      if (problem) this.refuse(problem);
      else await redraw(run);
    } finally {
      this.busy = false;
    }
  }

  refuse(problem) {
    told(problem);
    document.querySelector("#week-refused")?.remove();
    const box = document.createElement("p");
    box.id = "week-refused";
    box.className = "box week-stale";
    box.setAttribute("role", "alert");
    box.textContent = problem;
    this.before(box);
  }
}
customElements.define("week-board", WeekBoard);
