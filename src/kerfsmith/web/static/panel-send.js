// Sends what waits, in its order, again and again until it is kept. Nothing is struck off before the answer.
import { renumber, strike, waiting } from "./panel-store.js";

const SOON = 1500;
const LATER = 8000;
const AT_ONCE = 50;

export class Sender {
  // ``run`` tells for a batch which run's panel is wanted back, "" for none.
  constructor({ run, onState, onAnswers }) {
    this.run = run;
    this.onState = onState;
    this.onAnswers = onAnswers;
    this.busy = false;
    this.again = false;
    this.timer = 0;
    this.delay = SOON;
    this.away = !navigator.onLine;
    addEventListener("online", () => this.soon(0));
    addEventListener("offline", () => this.tell({ away: true }));
    document.addEventListener("visibilitychange", () => document.hidden || this.soon(0));
  }

  soon(delay) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.send(), delay);
  }

  async tell(more = {}) {
    if (more.away !== undefined) this.away = more.away;
    const { events } = await waiting();
    this.onState({ away: this.away, signedOut: false, fault: "", ...more, count: events.length });
    return events.length;
  }

  async send() {
    if (this.busy) {
      this.again = true;
      return;
    }
    this.busy = true;
    this.again = false;
    try {
      await this.batch();
    } finally {
      this.busy = false;
      if (this.again) this.soon(0);
    }
  }

  async batch() {
    const { panel, events } = await waiting();
    const batch = events.slice(0, AT_ONCE);
    if (!batch.length) return void (await this.tell());
    let answer;
    try {
      const last = batch.length === events.length;
      answer = await fetch("/at-saw/events", {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ panel, events: batch, show: last ? this.run(batch) : "" }),
        signal: AbortSignal.timeout(20000),
      });
    } catch {
      return this.failed({ away: true });
    }
    if (answer.status === 401) return this.failed({ away: false, signedOut: true });
    if (answer.status === 422) return this.failed({ away: false, fault: (await answer.json()).problem ?? "" });
    if (!answer.ok) return this.failed({ away: false, fault: `the records answer ${answer.status}` });
    const told = await answer.json();
    const isKept = (one) => one.kept && one.code !== "number-taken";
    const missing = told.answers.find((one) => !isKept(one));
    await strike(told.answers.filter(isKept).map((one) => one.id));
    this.delay = SOON;
    await this.onAnswers(told);
    const left = await this.tell({ away: false });
    // The first of a queue has no predecessor here: if the records miss one, they are not those it was sent to.
    const strange = ["events-missing", "number-taken"].includes(missing?.code);
    if (strange && missing.id === batch[0].id) await renumber();
    if (left) this.soon(missing ? SOON : 0);
  }

  async failed(state) {
    await this.tell(state);
    this.soon(this.delay);
    this.delay = Math.min(LATER, this.delay * 1.6);
  }
}
