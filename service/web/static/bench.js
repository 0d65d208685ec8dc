// The bench without waiting for the server: a tap counts at once, waits on this phone until it is
// kept, and is sent again until it is. Without this script every tap is a form.
"use strict";

(() => {
  const root = document.querySelector(".bench");
  if (!root) return;
  const { shower, waiting, newId } = globalThis.hoodwrightBench;
  const TWICE = 600; // milliseconds in which nobody works a row: a second tap is the first one
  const AGAIN = 15000; // milliseconds between looks at the server
  const MOST = 200; // taps in one sending
  const NONE = "No connection.";
  const number = root.dataset.number;
  const api = `/api/v1/orders/${number}/bench`;
  const store = waiting(number);
  const by = (id) => document.getElementById(id);
  const desk = { number, store, told: JSON.parse(by("told").textContent), trouble: "" };
  const { now, put, show, showClock, showSync, elsewhere } = shower(desk);
  let busy = false;
  let lastTap = 0;
  let lastAt = 0;

  const newer = (one, other) =>
    one.version - other.version || one.events - other.events;

  // Takes up what the server says; returns whether it could.
  async function take(state) {
    if (newer(state, desk.told.state) < 0) return true;
    const before = now(); // with all that was tapped here meanwhile, without what was refused
    const other = state.plan !== desk.told.state.plan || state.version !== desk.told.state.version;
    const fresh = other ? await ask(api) : { ...desk.told, state };
    if (!fresh) return false;
    const said = fresh.state.plan === desk.told.state.plan ? before : null;
    desk.told = fresh;
    store.tell(desk.told);
    show();
    const news = said ? elsewhere(said, now()) : "The work goes on by another plan.";
    const line = [news, ...desk.told.state.notices].filter(Boolean).join(" ");
    if (line) put("line", line);
    return true;
  }

  async function ask(address, body) {
    const sent = body && {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
    };
    try {
      const answer = await fetch(address, sent || { cache: "no-store" });
      const found = await answer.json();
      desk.trouble = answer.ok ? "" : found.detail || "The server cannot take them just now.";
      return answer.ok ? found : null;
    } catch {
      desk.trouble = NONE;
      return null;
    }
  }

  // Drops what cannot be kept, and says so where it was typed.
  function refuse(refused, queue) {
    for (const [id, why] of Object.entries(refused)) {
      const event = queue.find((one) => one.id === id);
      store.drop(id);
      if (event?.kind === "measured") {
        by("measured").value = event.measured;
        by("measured-wrong").textContent = why;
      } else desk.trouble = why;
    }
  }

  async function send() {
    if (busy) return;
    busy = true;
    try {
      const queue = store.all().slice(0, MOST);
      if (!queue.length) {
        const state = await ask(`${api}/state`);
        if (state) await take(state);
      } else {
        const answer = await ask(`${api}/events`, { events: queue });
        if (answer) {
          refuse(answer.refused, queue);
          // Only what this page knows to be kept leaves the phone; sent again, it is kept once.
          if (await take(answer.state)) for (const id of answer.kept) store.drop(id);
          show();
        }
      }
      showSync();
    } finally {
      busy = false;
    }
    if (!desk.trouble && store.all().length) send();
  }

  function keep(kind, more) {
    lastAt = Math.max(Date.now(), lastAt + 1);
    const at = new Date(lastAt).toISOString();
    store.add({ id: newId(), kind, plan: desk.told.state.plan, at, ...more });
    put("line", "");
    show();
    send();
  }

  function tap() {
    const early = Date.now() - lastTap < TWICE;
    const step = desk.told.steps[now().at];
    if (early || !step || desk.told.state.order_state !== "making") return;
    lastTap = Date.now();
    navigator.vibrate?.(15);
    by("measured-wrong").textContent = "";
    const typed = step.does === "check" ? by("measured").value.trim() : "";
    by("measured").value = "";
    keep(step.does === "check" ? "measured" : "done", { step: step.key, measured: typed });
    by("done").focus({ preventScroll: true });
  }

  by("tap").addEventListener("submit", (event) => {
    event.preventDefault();
    tap();
  });
  by("undo").addEventListener("submit", (event) => {
    event.preventDefault();
    const work = now();
    const undoes = work.events(work.at - 1);
    if (undoes.length) keep("undo", { undoes });
  });
  by("clock").addEventListener("submit", (event) => {
    event.preventDefault();
    keep(by("clock").querySelector("button").value, {});
  });
  // Without a connection another page would take the place of this one, which works.
  async function leave(event, go) {
    if (navigator.onLine && desk.trouble !== NONE && !store.all().length) return;
    event.preventDefault();
    if (await ask(`${api}/state`)) return go();
    put("line", `${NONE} Tap on here; the rest can be reached when it is back.`);
    by("line").scrollIntoView({ block: "nearest" });
  }
  by("elsewhere")?.addEventListener("submit", (event) => {
    const form = event.currentTarget;
    leave(event, () => form.submit());
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest('main a[href^="/"]');
    if (link) leave(event, () => location.assign(link.href));
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== " " && event.key !== "Enter") return;
    const own = event.target.closest("input, select, textarea, a, button, summary");
    if (own && own !== by("done")) return;
    event.preventDefault(); // and so a key held down is one tap
    if (!event.repeat) tap();
  });
  addEventListener("online", send);
  addEventListener("storage", (event) => {
    if (!store.mine(event.key)) return;
    const kept = store.told();
    if (kept && newer(kept.state, desk.told.state) > 0) desk.told = kept;
    show();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") send();
    showClock();
  });
  setInterval(() => {
    showClock();
    if (document.visibilityState === "visible") send();
  }, AGAIN);

  // A page from the phone's own store may be older than what this phone was told last.
  const kept = store.told();
  if (kept && newer(kept.state, desk.told.state) > 0) desk.told = kept;
  else store.tell(desk.told);
  show();
  send();

  async function stayAtHand() {
    await navigator.serviceWorker.register("/bench-worker.js", { scope: "/orders/" });
    await navigator.serviceWorker.ready;
    const files = [...document.querySelectorAll("link[rel], script[src]")];
    const cache = await caches.open("hoodwright-bench");
    await cache.addAll([location.pathname, ...files.map((one) => one.href || one.src)]);
    root.dataset.atHand = "yes";
  }
  // Only over https or on this very machine do browsers allow it; elsewhere the open page works on.
  if (navigator.serviceWorker) stayAtHand().catch(() => {});
})();
