// The bench without waiting for the server: a tap counts at once, waits on this phone until it is
// kept, and is sent again until it is. Without this script every tap is a form.
"use strict";

(() => {
  const root = document.querySelector(".bench");
  if (!root) return;
  const { stand, clock, waiting, newId } = globalThis.hoodwrightBench;
  const TWICE = 600; // milliseconds in which nobody works a row: a second tap is the first one
  const AGAIN = 15000; // milliseconds between looks at the server
  const MOST = 200; // taps in one sending
  const number = root.dataset.number;
  const api = `/api/v1/orders/${number}/bench`;
  const store = waiting(number);
  const by = (id) => document.getElementById(id);
  let told = JSON.parse(by("told").textContent);
  let busy = false;
  let lastTap = 0;
  let lastAt = 0;
  let trouble = "";
  let lock = null;

  const newer = (one, other) =>
    one.version - other.version || one.events - other.events;
  const now = () => stand(told.steps, told.state, store.all());
  const minutes = (seconds) => {
    const whole = Math.round(seconds / 60);
    const hours = Math.floor(whole / 60);
    return hours ? `${hours} h ${String(whole % 60).padStart(2, "0")} min` : `${whole} min`;
  };

  function put(id, text) {
    const place = by(id);
    place.hidden = !text;
    if (place.textContent !== text) place.textContent = text;
  }

  const ACTS = { check: "Measured, go on", todo: "Done, go on" };
  const actOf = (step) => ACTS[step.does] || `${step.head} done`;

  function showStep(step, work) {
    put("part", step ? step.part : "All is done");
    put("head", step ? step.head : "");
    put("of", step ? step.of : "");
    put("side", step ? step.side : "");
    by("side").dataset.side = step ? step.side : "";
    put("colour", step ? step.colour : "");
    put("text", step ? step.text : "Look it over, then say on the order’s page that the hood is finished.");
    by("text").dataset.does = step ? step.does : "todo";
    put("count", step ? step.count : "");
    put("note", step ? step.note : "");
    by("measure").hidden = step?.does !== "check";
    const tape = by("tape");
    tape.hidden = Boolean(step) && !step.rows;
    tape.max = step?.rows || 1;
    tape.value = step ? Math.max(0, step.row - 1) : 1;
    const next = told.steps.find((_, place) => place > work.at && !work.isDone(place));
    put("then", next ? `Next: ${next.brief}` : "");
    const making = told.state.order_state === "making";
    by("tap").hidden = !step || !making;
    by("over").hidden = Boolean(step) && making;
    by("done").textContent = step ? actOf(step) : "";
  }

  function showHook(work) {
    const link = by("in-hand");
    if (!link) return;
    const made = told.steps.filter(
      (step, place) => step.row && work.isDone(place) && ["collar", "hood"].includes(step.name)
    );
    const last = made[made.length - 1];
    const about = last
      ? `?${new URLSearchParams({ part: last.name, rows_made: last.row, stitches_now: last.stitches })}`
      : "";
    link.href = `/orders/${number}/in-hand${about}`;
  }

  function showClock() {
    const { spent, since } = clock(told.state, store.all());
    const gap = since === null ? 0 : (Date.now() - since) / 1000;
    const running = since !== null && gap <= told.state.away && told.state.order_state === "making";
    const total = minutes(spent + (running ? Math.max(0, gap) : 0));
    by("clock-does").textContent = running ? `Pause, ${total}` : `Start, ${total}`;
    by("clock").querySelector("button").value = running ? "pause" : "start";
    awake(running);
  }

  // The screen stays on while the clock runs, where the browser lets it.
  async function awake(wanted) {
    if (!wanted || document.visibilityState !== "visible") {
      lock?.release();
      lock = null;
    } else if (!lock && navigator.wakeLock) {
      lock = {};
      lock = await navigator.wakeLock.request("screen").catch(() => null);
    }
  }

  function showSync() {
    const many = store.all().length;
    const taps = many === 1 ? "1 tap waits" : `${many} taps wait`;
    by("sync").textContent = many ? `${trouble || "Sending."} ${taps} on this phone.` : trouble;
  }

  function show() {
    const work = now();
    showStep(told.steps[work.at], work);
    by("undo").querySelector("button").disabled = !work.events(work.at - 1).length;
    showHook(work);
    showClock();
    showSync();
    put("line", told.state.notices.join(" "));
    const off = told.state.measured.filter((one) => !one.near).pop();
    by("off").hidden = !off;
    if (off && !by("off").textContent.includes(off.shown)) {
      const name = off.name[0].toUpperCase() + off.name.slice(1);
      const strong = document.createElement("b");
      strong.textContent = "Look again.";
      const link = document.createElement("a");
      link.href = by("in-hand")?.href || `/orders/${number}/in-hand`;
      link.textContent = "Say what is really on the hook";
      by("off").replaceChildren(
        strong, ` ${name}: ${off.shown}, the plan says ${off.due}. `, link,
        ", and the rest is planned again."
      );
    }
    put("left", `about ${minutes(told.state.minutes_left * 60)}, at your pace`);
  }

  // Says what came from another phone: nothing changes here without a word.
  function elsewhere(before, after) {
    const places = told.steps.map((_, place) => place);
    const heads = (found) => {
      const names = found.map((place) => told.steps[place].head.toLowerCase());
      return names.length > 2 ? `${names[0]} to ${names[names.length - 1]}` : names.join(" and ");
    };
    const more = places.filter((place) => after.isDone(place) && !before.isDone(place));
    const fewer = places.filter((place) => !after.isDone(place) && before.isDone(place));
    const said = [
      more.length ? `From another page: ${heads(more)} done.` : "",
      fewer.length ? `From another page: ${heads(fewer)} taken back.` : "",
    ];
    return said.filter(Boolean).join(" ");
  }

  async function take(state, before) {
    if (newer(state, told.state) < 0) return;
    const other = state.plan !== told.state.plan || state.version !== told.state.version;
    const fresh = other ? await ask(api) : { ...told, state };
    if (!fresh) return;
    const said = fresh.state.plan === told.state.plan ? before : null;
    told = fresh;
    store.tell(told);
    show();
    const news = said ? elsewhere(said, now()) : "The work goes on by another plan.";
    if (news) put("line", [news, ...told.state.notices].join(" "));
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
      trouble = answer.ok ? "" : found.detail || "The server cannot take them just now.";
      return answer.ok ? found : null;
    } catch {
      trouble = "No connection.";
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
      } else trouble = why;
    }
  }

  async function send() {
    if (busy) return;
    busy = true;
    try {
      const queue = store.all().slice(0, MOST);
      const before = now();
      if (!queue.length) {
        const state = await ask(`${api}/state`);
        if (state) await take(state, before);
      } else {
        const answer = await ask(`${api}/events`, { events: queue });
        if (answer) {
          for (const id of answer.kept) store.drop(id);
          refuse(answer.refused, queue);
          await take(answer.state, before);
        }
      }
      showSync();
    } finally {
      busy = false;
    }
    if (!trouble && store.all().length) send();
  }

  function keep(kind, more) {
    lastAt = Math.max(Date.now(), lastAt + 1);
    const at = new Date(lastAt).toISOString();
    store.add({ id: newId(), kind, plan: told.state.plan, at, ...more });
    put("line", "");
    show();
    send();
  }

  function tap() {
    const early = Date.now() - lastTap < TWICE;
    const step = told.steps[now().at];
    if (early || !step || told.state.order_state !== "making") return;
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
    if (kept && newer(kept.state, told.state) > 0) told = kept;
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
  if (kept && newer(kept.state, told.state) > 0) told = kept;
  else store.tell(told);
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
