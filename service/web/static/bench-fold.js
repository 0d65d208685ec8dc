// Where the work stands and how long it took, with the taps that the server does not know yet;
// and the place on this phone where those wait. The server works it out in the same way.
"use strict";

globalThis.hoodwrightBench = (() => {
  const STEPPING = ["done", "measured"];

  // A step is done as long as one event says so that was not taken back.
  function stand(steps, state, queue) {
    const done = new Map(Object.entries(state.done).map(([key, ids]) => [key, new Set(ids)]));
    for (const event of queue) {
      if (!STEPPING.includes(event.kind) || event.plan !== state.plan) continue;
      done.set(event.step, (done.get(event.step) || new Set()).add(event.id));
    }
    const back = queue.flatMap((event) => event.undoes || []);
    for (const ids of done.values()) for (const id of back) ids.delete(id);
    const isDone = (place) => place < state.base || Boolean(done.get(steps[place].key)?.size);
    let at = state.base;
    while (at < steps.length && isDone(at)) at += 1;
    return { at, isDone, events: (place) => [...(done.get(steps[place]?.key) || [])] };
  }

  // Seconds at the bench, and the last tap as long as the clock runs.
  function clock(state, queue) {
    let spent = (state.minutes_spent + state.minutes_untimed) * 60;
    let since = state.since ? Date.parse(state.since) : null;
    for (const event of queue) {
      const at = Date.parse(event.at);
      const still = since === null && event.kind === "pause";
      if (event.kind === "undo" || still) continue;
      if (since !== null && at > since && at - since <= state.away * 1000) {
        spent += (at - since) / 1000;
      }
      since = event.kind === "pause" ? null : Math.max(at, since ?? at);
    }
    return { spent, since };
  }

  // A store that lasts where the browser lends one, and else as long as the page does.
  function lasting() {
    try {
      localStorage.setItem("bench:try", "1");
      localStorage.removeItem("bench:try");
      return localStorage;
    } catch {
      const kept = new Map();
      return {
        get length() {
          return kept.size;
        },
        key: (place) => [...kept.keys()][place] ?? null,
        getItem: (name) => kept.get(name) ?? null,
        setItem: (name, text) => void kept.set(name, text),
        removeItem: (name) => void kept.delete(name),
      };
    }
  }

  // The waiting taps of one hood, each under a name of its own: two windows lose none.
  function waiting(number) {
    const store = lasting();
    const prefix = `bench:${number}:tap:`;
    const told = `bench:${number}:told`;
    const read = (name) => {
      try {
        return JSON.parse(store.getItem(name));
      } catch {
        return null;
      }
    };
    return {
      all() {
        const names = Array.from({ length: store.length }, (_, place) => store.key(place));
        const events = names.filter((name) => name?.startsWith(prefix)).map(read);
        return events.filter(Boolean).sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
      },
      add: (event) => store.setItem(prefix + event.id, JSON.stringify(event)),
      drop: (id) => store.removeItem(prefix + id),
      told: () => read(told),
      tell(found) {
        try {
          store.setItem(told, JSON.stringify(found));
        } catch {
          // No room: the page itself is kept, and the taps are what matters.
        }
      },
      mine: (name) => name === null || name.startsWith(`bench:${number}:`),
    };
  }

  function newId() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  return { stand, clock, waiting, newId };
})();
