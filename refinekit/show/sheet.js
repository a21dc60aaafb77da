"use strict";
// Only for what is written on the page: it is kept nowhere and sent nowhere, the button hands it over as a file.
(() => {
  const part = document.getElementById("save");
  const blanks = [...document.querySelectorAll("input.blank")];
  const heads = [...document.querySelectorAll("input[data-word]")];
  let open = false;
  part.hidden = false;
  for (const box of [...blanks, ...heads]) box.addEventListener("input", () => { open = true; });
  window.addEventListener("beforeunload", (leaving) => { if (open) leaving.preventDefault(); });
  part.querySelector("button").addEventListener("click", () => {
    const told = { schema: part.dataset.schema, title: document.querySelector("h1").textContent };
    for (const box of heads) told[box.dataset.word] = box.value.trim();
    told.weighed = blanks.filter((box) => box.value.trim()).map((box) => ({
      step: box.dataset.step, row: Number(box.dataset.row), what: box.dataset.what,
      to_weigh: box.dataset.take, unit: box.dataset.unit, weighed: box.value.trim(),
    }));
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(told, null, 1)], { type: "application/json" }));
    link.download = part.dataset.file;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    open = false;
    part.querySelector("[role=status]").textContent =
      `${told.weighed.length} of ${blanks.length} blanks saved as ${part.dataset.file}`;
  });
})();
