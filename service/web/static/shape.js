// Shows the order as it takes shape, and keeps what is typed so that a closed tab loses nothing.
// The form works without it: "Check the numbers" and "Keep for later" do the same on the server.
"use strict";

(() => {
  const form = document.querySelector(".order-form");
  const place = document.getElementById("shape");
  if (!form || !place) return;
  const DELAY = 700;
  let timer = 0;
  let running = false;
  let again = false;
  let leaving = false;

  function remember(version) {
    let field = form.elements.namedItem("draft");
    if (!field) {
      field = document.createElement("input");
      field.type = "hidden";
      field.name = "draft";
      form.append(field);
    }
    field.value = version;
  }

  function show(html) {
    const next = new DOMParser().parseFromString(html, "text/html").body;
    if (next.textContent !== place.textContent) place.replaceChildren(...next.childNodes);
  }

  // One at a time: each answer brings the version that the next one has to name.
  async function send() {
    if (running || leaving) {
      again = true;
      return;
    }
    running = true;
    again = false;
    try {
      const body = new URLSearchParams(new FormData(form));
      const answer = await fetch(place.dataset.shape, { method: "POST", body, keepalive: true });
      const version = answer.headers.get("Draft-Version");
      if (version) remember(version);
      if (answer.ok || answer.status === 412) show(await answer.text());
    } catch (error) {
      // Offline: the next keystroke tries again, and the form itself still holds everything.
      if (!(error instanceof TypeError)) throw error;
    }
    running = false;
    if (again) soon();
  }

  function soon() {
    clearTimeout(timer);
    timer = setTimeout(send, DELAY);
  }

  form.addEventListener("input", soon);
  form.addEventListener("click", (event) => {
    if (event.target.closest("button.use")) soon();
  });
  form.addEventListener("submit", () => {
    leaving = true;
    clearTimeout(timer);
  });
  // A page that the browser brings back may be typed on; what still waits is sent at once.
  window.addEventListener("pageshow", () => {
    leaving = false;
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden" && timer && !leaving) {
      clearTimeout(timer);
      send();
    }
  });
})();
