// Copies the message to the owner. Without it, the message is selected and copied by hand.
"use strict";

for (const box of document.querySelectorAll(".ask")) {
  const text = box.querySelector("textarea");
  const button = box.querySelector(".copy");
  button.hidden = false;
  button.addEventListener("click", async () => {
    text.select();
    try {
      await navigator.clipboard.writeText(text.value);
      box.querySelector("[role=status]").textContent = "Copied.";
    } catch {
      // No leave to write, or no clipboard on a plain address in the house's own network.
      box.querySelector("[role=status]").textContent = "It is selected: copy it.";
    }
  });
}
