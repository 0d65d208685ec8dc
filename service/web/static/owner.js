// Says a kind word beside each number while the owner types. The page works without it: the
// button "Look at my numbers first" does the same on the server.
"use strict";

(() => {
  const form = document.querySelector(".owner-form");
  if (!form) return;
  const DELAY = 700;
  const address = `${location.pathname}/look${location.search}`;
  const draft = `owner:${location.pathname}`;
  let timer = 0;
  let asking = null;

  function lines(found) {
    return found.map(({ kind, text }) => {
      const line = document.createElement("p");
      line.className = kind;
      line.textContent = text;
      return line;
    });
  }

  // A message that has not changed is left alone, so that it is not read out again.
  function show(told) {
    for (const said of form.querySelectorAll(".said")) {
      const name = said.id.replace("said-", "");
      const found = told[name] || [];
      const before = [...said.children].map((line) => line.textContent).join("\n");
      if (found.map((one) => one.text).join("\n") === before) continue;
      said.replaceChildren(...lines(found));
      const wrong = found.some((one) => one.kind === "wrong");
      for (const input of form.querySelectorAll(`[aria-describedby~="said-${name}"]`)) {
        const bad = wrong && input.value.trim() !== "";
        input.setAttribute("aria-invalid", String(bad));
        input.closest(".field").classList.toggle("bad", bad);
      }
      if (said.closest(".tape-at").contains(document.activeElement)) {
        said.scrollIntoView({ block: "nearest" });
      }
    }
  }

  async function look() {
    if (asking) asking.abort();
    asking = new AbortController();
    try {
      const answer = await fetch(address, {
        method: "POST",
        body: new URLSearchParams(new FormData(form)),
        signal: asking.signal,
      });
      if (answer.ok) show(await answer.json());
    } catch (error) {
      // Offline or overtaken by newer typing: the server looks again when the form is sent.
      if (error.name !== "AbortError" && !(error instanceof TypeError)) throw error;
    }
  }

  // A phone may drop a page that waits while a dog is measured: what was typed stays on the
  // owner's own phone until it has been sent.
  function keep() {
    try {
      const told = [...new FormData(form)].filter(([, text]) => text);
      localStorage.setItem(draft, JSON.stringify(told));
    } catch {
      // A browser that lends no room: the page itself holds what was typed.
    }
  }

  function drafted() {
    try {
      return JSON.parse(localStorage.getItem(draft)) || [];
    } catch {
      return [];
    }
  }

  function restore() {
    const texts = [...form.elements].filter((one) => one.matches("input:not([type=radio]), textarea"));
    if (document.getElementById("sent")) {
      try {
        localStorage.removeItem(draft);
      } catch {
        // As above: then there is none.
      }
    } else if (texts.every((one) => !one.value.trim())) {
      const told = drafted();
      for (const [name, text] of told) {
        const one = form.elements[name];
        if (one) one.value = text;
        if (one?.closest) one.closest("details")?.setAttribute("open", "");
      }
      if (told.some(([name]) => name !== "unit")) look();
    }
  }

  restore();
  form.addEventListener("input", () => {
    keep();
    clearTimeout(timer);
    timer = setTimeout(look, DELAY);
  });
})();
