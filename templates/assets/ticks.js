// Ticks that survive a reload: kept on this machine, by page and by what is ticked, with the day.
"use strict";
(() => {
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const clear = document.getElementById("clear-ticks");
  const key = `gapbook ticks ${location.pathname}`;
  const today = new Date().toDateString();

  // A browser may keep nothing: then a tick lasts as long as the page.
  const kept = () => {
    try {
      const { day, ticks } = JSON.parse(localStorage.getItem(key)) || {};
      return { day, ticks: Array.isArray(ticks) ? ticks : [] };
    } catch {
      return { ticks: [] };
    }
  };
  const keep = () => {
    const ticks = boxes.filter((box) => box.checked).map((box) => box.dataset.tick);
    try {
      const day = new Date().toDateString();
      if (ticks.length) localStorage.setItem(key, JSON.stringify({ day, ticks }));
      else localStorage.removeItem(key);
    } catch {
      // Nothing can be kept.
    }
    if (clear) clear.hidden = !ticks.length;
  };

  // Ticks of another day are most often another job's; one job may also last past midnight.
  const { day, ticks } = kept();
  const same = !ticks.length || day === today;
  const goOn = same || confirm(`These steps were ticked on ${day}. Go on with that job? Else all ticks are cleared.`);
  const before = new Set(goOn ? ticks : []);
  for (const box of boxes) {
    box.checked = before.has(box.dataset.tick);
    box.addEventListener("change", keep);
  }
  if (clear) {
    clear.addEventListener("click", () => {
      for (const box of boxes) box.checked = false;
      keep();
    });
  }
  keep();
})();
