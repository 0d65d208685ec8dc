// The way in: shows what is typed for whoever wants to see it. After signing out, what the bench
// kept at hand on this phone is thrown away; taps that still wait are kept.
"use strict";

(() => {
  const show = document.getElementById("show");
  const field = document.getElementById("password");
  if (show && field) {
    show.hidden = false;
    show.addEventListener("click", () => {
      const seen = field.type === "password";
      field.type = seen ? "text" : "password";
      show.setAttribute("aria-pressed", String(seen));
      show.textContent = seen ? "Hide it" : "Show it";
    });
    field.form.addEventListener("submit", () => {
      field.type = "password";
    });
  }
  if (document.querySelector(".sign-in[data-out]") && "caches" in globalThis) {
    caches.delete("hoodwright-bench");
  }
})();
