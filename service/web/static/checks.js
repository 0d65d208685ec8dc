// Checks the numbers while they are typed and says beside the field what looks wrong.
// The form works without it: the button "Check the numbers" does the same on the server.
"use strict";

(() => {
  const form = document.querySelector(".order-form");
  if (!form) return;
  const DELAY = 450;
  const LENGTHS = ["neck_length", "neck_girth", "nape_length", "face_girth", "crown_length", "head_girth"];
  const TEXTS = ["breed", "weight"];
  const CHOICES = ["head", "ears", "coat"];
  const WORDS = { stop: "To settle", query: "Look again", note: "Note" };
  let timer = 0;
  let asking = null;

  const field = (name) => form.elements.namedItem(name);
  const place = (name) => (LENGTHS.includes(name) ? `measurements.${name}` : `dog.${name}`);
  const text = (name) => field(name).value.trim();

  // What is typed so far, as the body of a check; fields in `unreadable` are left out.
  function asked(unreadable) {
    const known = (names) =>
      Object.fromEntries(
        names
          .map((name) => [name, text(place(name))])
          .filter(([name, value]) => value && !unreadable.has(name))
      );
    const risks = [...form.querySelectorAll('[name="dog.risks"]:checked')].map((box) => box.value);
    return {
      dog: { ...known([...TEXTS, ...CHOICES]), risks },
      measurements: known(LENGTHS),
      unit: field("unit").value,
    };
  }

  function paragraph(className, said, lead) {
    const line = document.createElement("p");
    if (className) line.className = className;
    if (lead) {
      const strong = document.createElement("b");
      strong.textContent = `${lead}.`;
      line.append(strong, " ");
    }
    line.append(said);
    return line;
  }

  function findingBox(finding) {
    const box = document.createElement("div");
    box.className = `finding ${finding.severity}`;
    box.append(paragraph("", finding.message, WORDS[finding.severity]));
    if (finding.suggestion) {
      const button = document.createElement("button");
      button.className = "use";
      button.name = "use";
      button.value = `${place(finding.field)}=${finding.suggestion}`;
      button.textContent = `use ${finding.suggestion}`;
      box.append(button);
    }
    return box;
  }

  // Shows findings and what cannot be read; a message that has not changed is left alone, so
  // that it is not read out again.
  function show(findings, unreadable) {
    for (const name of [...LENGTHS, ...TEXTS]) {
      const said = document.getElementById(`said-${place(name)}`);
      const now = said.querySelectorAll(".now");
      const wrong = unreadable.get(name);
      const found = findings.filter((one) => one.field === name);
      const parts = wrong ? [paragraph("wrong", wrong)] : found.map(findingBox);
      const next = document.createElement("div");
      next.append(...[...now].map((one) => one.cloneNode(true)), ...parts);
      if (next.textContent !== said.textContent.replace(/\n/g, "")) {
        said.replaceChildren(...next.childNodes);
      }
      const folded = said.closest("details");
      if (folded && parts.length) folded.open = true;
      const input = field(place(name));
      input.setAttribute("aria-invalid", String(Boolean(wrong)));
      if (input === document.activeElement && parts.length) said.scrollIntoView({ block: "nearest" });
      input.closest(".field").classList.toggle("bad", Boolean(wrong));
    }
  }

  async function ask(body, signal) {
    const answer = await fetch("/api/v1/checks", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
      signal,
    });
    return { readable: answer.ok, told: await answer.json() };
  }

  // Asks; what cannot be read is remembered, left out, and the rest asked once more.
  async function check() {
    if (asking) asking.abort();
    asking = new AbortController();
    const { signal } = asking;
    const unreadable = new Map();
    try {
      for (let round = 0; round < 3; round += 1) {
        const body = asked(unreadable);
        if (!Object.keys(body.measurements).length && !body.dog.breed && !body.dog.weight) {
          show([], unreadable);
          return;
        }
        const { readable, told } = await ask(body, signal);
        if (readable) {
          show(told.findings, unreadable);
          return;
        }
        const before = unreadable.size;
        for (const [name, said] of Object.entries(told.fields || {})) {
          unreadable.set(name.replace(/^(measurements|dog)\./, ""), said);
        }
        if (unreadable.size === before) return;
      }
    } catch (error) {
      // Offline or overtaken by newer typing: the server checks again when the form is sent.
      if (error.name !== "AbortError" && !(error instanceof TypeError)) throw error;
    }
  }

  function soon() {
    clearTimeout(timer);
    timer = setTimeout(check, DELAY);
  }

  const checked = (name) => /^(measurements\.|dog\.(breed|weight|head|ears|coat|risks)$|unit$)/.test(name);
  form.addEventListener("input", (event) => {
    if (checked(event.target.name)) soon();
  });

  form.addEventListener("click", (event) => {
    const button = event.target.closest("button.use");
    if (!button) return;
    event.preventDefault();
    const cut = button.value.indexOf("=");
    const input = field(button.value.slice(0, cut));
    input.value = button.value.slice(cut + 1);
    input.focus();
    clearTimeout(timer);
    check();
  });
})();
