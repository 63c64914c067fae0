// What the panel keeps until it has been sent: its events in their order, and who it is.
// Each event gets its number in the same transaction that keeps it, so that two pages never number alike.
import { newId } from "./panel-ids.js";

const NAME = "kerfsmith-panel";

function opened() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("events", { keyPath: "number" });
      asked.result.createObjectStore("facts");
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

async function within(mode, act) {
  const base = await opened();
  try {
    return await new Promise((done, failed) => {
      // Strict: an event counts as kept once it is on the disk, not in the browser's memory.
      const transaction = base.transaction(["events", "facts"], mode, { durability: "strict" });
      let answer;
      transaction.oncomplete = () => done(answer);
      transaction.onerror = () => failed(transaction.error);
      transaction.onabort = () => failed(transaction.error);
      act(transaction.objectStore("events"), transaction.objectStore("facts"), (value) => (answer = value));
    });
  } finally {
    base.close();
  }
}

function facts(store, then) {
  store.get("panel").onsuccess = ({ target }) => then(target.result ?? { id: newId(), next: 1 });
}

export function append(event) {
  return within("readwrite", (events, kept, answer) =>
    facts(kept, (panel) => {
      const numbered = { ...event, number: panel.next };
      events.add(numbered);
      kept.put({ ...panel, next: panel.next + 1 }, "panel");
      answer(numbered);
    }),
  );
}

export function waiting() {
  return within("readonly", (events, kept, answer) => {
    events.getAll().onsuccess = ({ target: all }) =>
      facts(kept, (panel) => aside(kept, (entries) => answer({ panel: panel.id, events: all.result, aside: entries })));
  });
}

export function strike(ids) {
  return within("readwrite", (events) => {
    events.openCursor().onsuccess = ({ target }) => {
      const cursor = target.result;
      if (!cursor) return;
      if (ids.includes(cursor.value.id)) cursor.delete();
      cursor.continue();
    };
  });
}

// An event that can never be read leaves the queue and is kept apart; those after it close up, since the
// records count a panel's events without gaps. The event, null where another page has done it already.
export function setAside(id, why) {
  return within("readwrite", (events, kept, answer) => {
    events.getAll().onsuccess = ({ target: all }) => {
      const event = all.result.find((one) => one.id === id);
      if (!event) return answer(null);
      events.delete(event.number);
      for (const later of all.result.filter((one) => one.number > event.number)) {
        events.delete(later.number);
        events.add({ ...later, number: later.number - 1 });
      }
      facts(kept, (panel) => kept.put({ ...panel, next: panel.next - 1 }, "panel"));
      aside(kept, (entries) => kept.put([...entries, { event, why }], "aside"));
      answer(event);
    };
  });
}

function aside(store, then) {
  store.get("aside").onsuccess = ({ target }) => then(target.result ?? []);
}

// Takes an event off those set aside; where it is sent again it goes to the end of the queue.
export function takeUp(id, again) {
  return within("readwrite", (events, kept) =>
    aside(kept, (entries) => {
      const one = entries.find(({ event }) => event.id === id);
      if (!one) return;
      kept.put(entries.filter((other) => other !== one), "aside");
      if (!again) return;
      facts(kept, (panel) => {
        events.add({ ...one.event, number: panel.next });
        kept.put({ ...panel, next: panel.next + 1 }, "panel");
      });
    }),
  );
}

// The records don't know this panel any more (they were restored, or are others): what waits is numbered
// from 1 under a new panel. Ids stay, so that nothing counts twice.
export function renumber() {
  return within("readwrite", (events, kept) => {
    events.getAll().onsuccess = ({ target }) => {
      events.clear();
      target.result.forEach((event, at) => events.add({ ...event, number: at + 1 }));
      kept.put({ id: newId(), next: target.result.length + 1 }, "panel");
    };
  });
}

export function recall(name) {
  return within("readonly", (events, kept, answer) => {
    kept.get(name).onsuccess = ({ target }) => answer(target.result);
  });
}

export function remember(name, value) {
  return within("readwrite", (events, kept) => kept.put(value, name));
}
