// A new password: how hard it is to guess, told while it is typed, as it is judged when it is kept.
"use strict";

(() => {
  const field = document.getElementById("password");
  const shown = document.getElementById("strength");
  if (!field || !shown) {
    return;
  }
  const meter = shown.querySelector("meter");
  const said = shown.querySelector("output");
  let waiting = 0;
  const judge = async () => {
    const asked = field.value;
    const body = new URLSearchParams({ password: asked });
    for (const name of ["form_token", "code", "name"]) { // what says that one may ask, and who is to be
      const one = field.form.elements.namedItem(name);
      if (one) {
        body.set(name, one.value);
      }
    }
    try {
      const answer = await fetch(shown.dataset.at, { method: "POST", body });
      if (answer.ok && field.value === asked) {
        const found = await answer.json();
        meter.value = found.score;
        said.textContent = found.said;
        shown.hidden = asked === "";
      } else if (!answer.ok) {
        shown.hidden = true; // a link that is over, or asked too often
      }
    } catch {
      shown.hidden = true; // it is judged when it is kept
    }
  };
  field.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(judge, 300);
  });
})();
