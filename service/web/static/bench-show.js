// What the bench shows of where the work stands.
"use strict";

globalThis.hoodwrightBench.shower = (desk) => {
  const { stand, clock } = globalThis.hoodwrightBench;
  const by = (id) => document.getElementById(id);
  const now = () => stand(desk.told.steps, desk.told.state, desk.store.all());
  const LONG = 120; // letters that need a smaller type to stand above the large field
  let lock = null;
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
    by("text").toggleAttribute("data-long", (step?.text.length ?? 0) > LONG);
    put("count", step ? step.count : "");
    put("note", step ? step.note : "");
    by("measure").hidden = step?.does !== "check";
    const tape = by("tape");
    tape.hidden = Boolean(step) && !step.rows;
    tape.max = step?.rows || 1;
    tape.value = step ? Math.max(0, step.row - 1) : 1;
    const next = desk.told.steps.find((_, place) => place > work.at && !work.isDone(place));
    put("then", next ? `Next: ${next.brief}` : "");
    const making = desk.told.state.order_state === "making";
    by("tap").hidden = !step || !making;
    by("over").hidden = Boolean(step) && making;
    by("done").textContent = step ? actOf(step) : "";
  }

  function showHook(work) {
    const link = by("in-hand");
    if (!link) return;
    const made = desk.told.steps.filter(
      (step, place) => step.row && work.isDone(place) && ["collar", "hood"].includes(step.name)
    );
    const last = made[made.length - 1];
    const about = last
      ? `?${new URLSearchParams({ part: last.name, rows_made: last.row, stitches_now: last.stitches })}`
      : "";
    link.href = `/orders/${desk.number}/in-hand${about}`;
  }

  // Where the work stands among all steps, unless somebody is just choosing another one.
  function showPlace(step) {
    const place = by("place");
    if (place && step && place !== document.activeElement) place.value = step.key;
  }

  function showClock() {
    const { spent, since } = clock(desk.told.state, desk.store.all());
    const gap = since === null ? 0 : (Date.now() - since) / 1000;
    const running = since !== null && gap <= desk.told.state.away && desk.told.state.order_state === "making";
    const total = minutes(spent + (running ? Math.max(0, gap) : 0));
    put("spent", total);
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
    const many = desk.store.all().length;
    const taps = many === 1 ? "1 tap waits" : `${many} taps wait`;
    by("sync").textContent = many ? `${desk.trouble || "Sending."} ${taps} on this phone.` : desk.trouble;
  }

  function show() {
    const work = now();
    showStep(desk.told.steps[work.at], work);
    by("undo").querySelector("button").disabled = !work.events(work.at - 1).length;
    showHook(work);
    showPlace(desk.told.steps[work.at]);
    showClock();
    showSync();
    const off = desk.told.state.measured.filter((one) => !one.near).pop();
    by("off").hidden = !off;
    if (off && !by("off").textContent.includes(off.shown)) {
      const name = off.name[0].toUpperCase() + off.name.slice(1);
      const strong = document.createElement("b");
      strong.textContent = "Look again.";
      const link = document.createElement("a");
      link.href = by("in-hand")?.href || `/orders/${desk.number}/in-hand`;
      link.textContent = "Say what is really on the hook";
      by("off").replaceChildren(
        strong, ` ${name}: ${off.shown}, the plan says ${off.due}. `, link,
        ", and the rest is planned again."
      );
    }
    put("left", `about ${minutes(desk.told.state.minutes_left * 60)}, at your pace`);
  }

  // Says what came from another phone: nothing changes here without a word.
  function elsewhere(before, after) {
    const places = desk.told.steps.map((_, place) => place);
    const heads = (found) => {
      const names = found.map((place) => desk.told.steps[place].head.toLowerCase());
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

  return { now, put, show, showClock, showSync, elsewhere };
};
