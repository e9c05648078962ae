// Ticks that survive a reload: kept on this machine, by page and by what is ticked.
"use strict";
(() => {
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const clear = document.getElementById("clear-ticks");
  const key = `gapbook ticks ${location.pathname}`;

  // A browser may keep nothing: then a tick lasts as long as the page.
  const kept = () => {
    try {
      return new Set(JSON.parse(localStorage.getItem(key)) || []);
    } catch {
      return new Set();
    }
  };
  const keep = () => {
    const ticked = boxes.filter((box) => box.checked).map((box) => box.dataset.tick);
    try {
      if (ticked.length) localStorage.setItem(key, JSON.stringify(ticked));
      else localStorage.removeItem(key);
    } catch {
      // Nothing can be kept.
    }
    clear.hidden = !ticked.length;
  };

  const before = kept();
  for (const box of boxes) {
    box.checked = before.has(box.dataset.tick);
    box.addEventListener("change", keep);
  }
  clear.addEventListener("click", () => {
    for (const box of boxes) box.checked = false;
    keep();
  });
  keep();
})();
