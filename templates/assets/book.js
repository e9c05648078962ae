// The index's search: every word typed must occur in a board's line. The page reads without it.
"use strict";
(() => {
  const MOST = 60;
  const form = document.querySelector("form.search");
  const [field, count, hits] = ["search", "count", "hits"].map((id) => document.getElementById(id));
  const bare = (text) => text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "");
  // "2 mm", "2,0 mm" and "2.0mm" are one word each.
  const plain = (text) => bare(text).replace(/(\d),(\d)/g, "$1.$2").replace(/(\d)\s+mm\b/g, "$1mm");
  // A thickness is a whole word: "2mm" is not in "1.2mm".
  const part = (word) => (/^[\d.]+mm$/.test(word) ? ` ${word}` : word);
  const boards = window.gapbookBoards.map(([id, name, marked, facts]) =>
    ({ id, name, marked, text: ` ${plain([id, name, marked, facts].join(" "))}` }));

  const line = ({ id, name, marked }) => {
    const link = document.createElement("a");
    link.href = `boards/${id}/index.html`;
    link.textContent = name;
    const item = document.createElement("li");
    item.append(link, marked ? ` · ${marked}` : "");
    return item;
  };

  const show = () => {
    const words = plain(field.value).split(/\s+/).filter(Boolean);
    const found = words.length
      ? boards.filter(({ text }) => words.every((word) => text.includes(part(word)))) : [];
    hits.replaceChildren(...found.slice(0, MOST).map(line));
    const more = found.length > MOST ? `, the first ${MOST} shown` : "";
    count.textContent = words.length ? `${found.length} found${more}` : "";
    for (const list of document.querySelectorAll("#boards, #makers")) list.hidden = words.length > 0;
  };

  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  field.addEventListener("input", show);
  show();
})();
