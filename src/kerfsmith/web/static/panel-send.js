// Sends what waits, in its order, again and again until it is kept. Nothing is struck off before the answer.
// What can never be read is set aside, so that it holds up nothing behind it.
import { renumber, setAside, strike, waiting } from "./panel-store.js";
import { say } from "./words.js";

const SOON = 1500;
const LATER = 8000;
const AT_ONCE = 50;
const NEVER = [400, 413, 422]; // Answers that stay the same however often the same is sent.

export class Sender {
  // ``run`` tells for a batch which run's panel is wanted back, "" for none. ``onAside`` is told of an event
  // that can't be read, why, and what waits behind it.
  constructor({ run, onState, onAnswers, onAside }) {
    this.run = run;
    this.onState = onState;
    this.onAnswers = onAnswers;
    this.onAside = onAside;
    this.most = AT_ONCE;
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
    const { events, aside } = await waiting();
    this.onState({ away: this.away, signedOut: false, fault: "", ...more, count: events.length, aside: aside.length });
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
    const batch = events.slice(0, this.most);
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
    if (NEVER.includes(answer.status)) return this.unread(answer, batch);
    if (!answer.ok) return this.failed({ away: false, fault: say("answer", { status: answer.status }) });
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

  // Sets aside the one that the answer names; where it names none, ever fewer are sent until it is alone.
  async unread(answer, batch) {
    const said = await answer.json().catch(() => ({}));
    const bad = batch[said.place] ?? (batch.length === 1 ? batch[0] : null);
    if (bad) {
      const why = said.problem ?? say("answer", { status: answer.status });
      const event = await setAside(bad.id, why);
      this.most = AT_ONCE;
      this.delay = SOON;
      await this.tell({ away: false });
      if (event) await this.onAside(event, why, (await waiting()).events.filter((one) => one.number >= event.number));
    } else {
      this.most = Math.ceil(batch.length / 2);
    }
    this.soon(0);
  }

  async failed(state) {
    await this.tell(state);
    this.soon(this.delay);
    this.delay = Math.min(LATER, this.delay * 1.6);
  }
}
