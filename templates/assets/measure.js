// The measuring form: keeps what is typed, tells a slip at once, and gives the job as a TOML record.
// From where on a reading is odd, and how that is told, the program says in the form's data.
"use strict";
(() => {
  const form = document.getElementById("job");
  const { board } = form.dataset;
  const [limits, ranges] = ["limits", "ranges"].map((name) => JSON.parse(form.dataset[name]));
  const groups = [...form.querySelectorAll("fieldset")];
  const fields = [...form.elements].filter(({ name }) => name);
  const faults = form.querySelector(".faults");
  const KEPT = `gapbook job ${board}`;

  /* What is typed, read as benches type it: "2,01" or "2.01", several with spaces between. */
  const number = (part) => {
    const [, digits] = /^([+-]?[\d.,]+)(?:mm|°?c|w|rpm)?$/i.exec(part) ?? [];
    return digits ? Number(digits.replace(",", ".")) : NaN;
  };
  const numbers = (text) => text.split(/[\s;]+/)
    .map((part) => part.replace(/^,+|,+$/g, ""))
    .flatMap((part) => (part.includes(".") ? part.split(",") : [part]))
    .filter((part) => part && part !== "mm")
    .map(number);
  // Characters that do not show have no place in a record.
  const plain = (text) => text.replace(/[^\P{C}\n]/gu, "").trim();
  const values = (name) => fields.filter((field) => field.name === name).map(({ value }) => plain(value));
  const readings = (name) => values(name).flatMap(numbers);

  /* Why a reading is odd; the program's `Expected::odd`, and held to the same cases. */
  const told = (sentence, words) => sentence.replace(/\{(\w+)\}/g, (_, word) => words[word]);
  const odd = (reading, at, edges, { free_mm: free, stocked_mm: stocked }) => {
    const [least, greatest] = limits[at];
    const off = (mm) => Math.min(...(free.length ? free : stocked)
      .map((likely) => mm / likely)
      .filter((ratio) => least <= ratio && ratio <= greatest)
      .map((ratio) => Math.abs(Math.log(ratio))));
    if (off(reading) === Infinity) {
      const [slip] = limits.slips
        .map(({ factor, what }) => ({ what, mm: reading * factor }))
        .filter(({ mm }) => off(mm) < Infinity)
        .sort((left, right) => off(left.mm) - off(right.mm));
      if (slip) return told(limits.told.slip, { reading, what: slip.what, meant: slip.mm.toFixed(2) });
    }
    const thickest = Math.max(...edges);
    if (at === "imprint" && edges.length && reading >= thickest) {
      const sentence = reading > thickest + limits.over_edge_mm ? limits.told.over_edge : limits.told.as_edge;
      return told(sentence, { reading, edge: thickest.toFixed(2) });
    }
    const away = (mm) => Math.abs(mm - reading);
    const [nearest] = [...stocked].sort((left, right) => away(left) - away(right));
    if (at === "edge" && away(nearest) > limits.unstocked_mm) {
      return told(limits.told.unstocked, { reading, nearest });
    }
    return "";
  };

  /* What a number cannot be, whatever is meant. */
  const refused = (field) => {
    const range = ranges[field.name.split(".").at(-1)];
    if (!range) return "";
    const [least, greatest] = range;
    const wrong = numbers(field.value).find((value) => !(least <= value && value <= greatest));
    if (wrong === undefined) {
      return numbers(field.value).length < 2 || field.name.startsWith("reading.") ? "" : "give one number";
    }
    return Number.isNaN(wrong) ? `“${field.value}” is no number`
      : `${wrong} is not between ${least} and ${greatest}: look for the decimal point and the unit`;
  };
  const doubts = (group, field) => {
    const edges = field.dataset.at === "imprint" ? readings(`reading.${group.dataset.zone}.edge_mm`) : [];
    return numbers(field.value).map((reading) => odd(reading, field.dataset.at, edges, JSON.parse(group.dataset.expected)));
  };
  const judge = (group) => {
    const sentences = new Set();
    for (const field of group.querySelectorAll("[data-at]")) {
      const no = refused(field);
      const found = (no ? [no] : doubts(group, field)).filter(Boolean);
      if (found.length) field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
      for (const sentence of found) sentences.add(sentence);
    }
    group.querySelector(".odd").textContent = [...sentences].join(". ");
  };
  const applies = (group) => {
    const [revision] = values("revision");
    const only = JSON.parse(group.dataset.only);
    return !only.length || !revision || only.includes(revision);
  };
  /* Whether a fitted pad is another than the record's: then the record of the job says why. */
  const isAnother = ({ dataset: { zone, padMm, pad } }) => {
    const [[thickness], [material]] = [readings(`fitted.${zone}.pad_mm`), values(`fitted.${zone}.pad`)];
    return thickness !== undefined
      && ((padMm && Math.abs(thickness - padMm) >= form.dataset.another) || Boolean(pad && material && material !== pad));
  };
  const show = () => {
    for (const group of groups) {
      group.hidden = !applies(group);
      group.querySelector(".why").hidden = !isAnother(group);
      judge(group);
    }
  };

  /* What is typed is kept at once: a phone that sleeps may forget the page. */
  const keep = () => {
    const typed = fields.map(({ name, value }) => [name, value]);
    try { localStorage.setItem(KEPT, JSON.stringify(typed)); } catch { /* A browser may forbid it. */ }
  };
  const restore = () => {
    try {
      const typed = JSON.parse(localStorage.getItem(KEPT)) ?? [];
      // A board whose zones have changed since has other fields.
      const kept = fields.map((field, index) => [field, typed[index] ?? []]).filter(([{ name }, [same]]) => same === name);
      for (const [field, [, value]] of kept) field.value = value;
    } catch { /* Then nothing was kept. */ }
  };

  /* The record, its keys in the schema's order. */
  const text = (value) => JSON.stringify(value);
  const float = (value) => (Number.isInteger(value) ? value.toFixed(1) : String(value));
  const line = (key, value) => (value ? `${key} = ${value}\n` : "");
  const texts = (prefix, keys) => keys.map((key) => line(key, values(prefix + key).filter(Boolean).map(text)[0]));
  const floats = (prefix, keys) => keys.map((key) => line(key, readings(prefix + key).map(float)[0]));
  const list = (prefix, key) => {
    const read = readings(prefix + key).map(float);
    return line(key, read.length && `[${read.join(", ")}]`);
  };
  const answers = (prefix, keys) => keys.map((key) =>
    line(key, { yes: "true", no: "false" }[values(prefix + key)[0]]));
  const table = (head, keys, needed = keys) => (needed.join("") ? `\n${head}\n${keys.join("")}` : "");
  const temperatures = (when) => table(`[${when}]`, [
    ...floats(`${when}.`, Object.keys(ranges).filter((key) => form.elements[`${when}.${key}`])),
    ...answers(`${when}.`, ["throttling", "crashing"]),
  ]);
  const ofZones = (head, keysOf) => groups.filter(applies).map((group) => {
    const { zone } = group.dataset;
    const keys = keysOf(zone, group);
    return table(head, [line("zone", text(zone)), ...keys], keys.slice(0, 2));
  });
  const record = () => [
    "#:schema ../../../../schema/job.schema.json\nschema = 1\n",
    line("board", text(board)),
    line("date", values("date")[0]),
    ...texts("", ["bench", "revision", "reason", "paste", "note"]),
    table("[instrument]", [...texts("instrument.", ["kind"]), ...floats("instrument.", ["resolution_mm", "max_error_mm"])]),
    temperatures("before"),
    ...ofZones("[[reading]]", (zone) => ["edge_mm", "imprint_mm"].map((key) => list(`reading.${zone}.`, key))),
    ...ofZones("[[fitted]]", (zone, group) => [
      ...floats(`fitted.${zone}.`, ["pad_mm"]),
      ...texts(`fitted.${zone}.`, isAnother(group) ? ["pad", "why"] : ["pad"]),
    ]),
    temperatures("after"),
  ].join("");

  /* What keeps a record from being one. */
  const missing = () => {
    const [date, bench] = ["date", "bench"].map((name) => values(name)[0]);
    const today = new Date(Date.now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 10);
    return [
      !date && "The record needs the date.",
      date > today && `${date} is still to come.`,
      !/^[a-z0-9]+(-[a-z0-9]+)*$/.test(bench) && "The record needs your bench: small letters, digits and hyphens, such as quayside-2.",
      !values("instrument.kind")[0] && readings("instrument.resolution_mm").concat(readings("instrument.max_error_mm")).length
        && "Say what you measured with, or leave out its step and error.",
      ...groups.filter(applies).filter(({ dataset: { zone } }) => values(`fitted.${zone}.pad`)[0] && !readings(`fitted.${zone}.pad_mm`).length)
        .map(({ dataset: { zone } }) => `${zone}: a material was fitted, but no thickness is given.`),
      ...groups.filter(applies).filter((group) => isAnother(group) && !values(`fitted.${group.dataset.zone}.why`)[0])
        .map(({ dataset: { zone } }) => `${zone}: say why another pad was fitted than the record has.`),
      ...groups.flatMap(({ dataset: { zone } }) => ["edge_mm", "imprint_mm"].map((key) => `reading.${zone}.${key}`))
        .filter((name) => readings(name).length > form.dataset.most)
        .map((name) => `${name}: a record holds at most ${form.dataset.most} readings of a place.`),
      ...fields.filter(refused).map((field) => `${field.name}: ${refused(field)}.`),
    ].filter(Boolean);
  };
  const give = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([record()], { type: "application/toml" }));
    link.download = `${values("date")[0]}-${values("bench")[0]}.toml`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  };

  form.addEventListener("input", () => { keep(); show(); });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const wrong = missing();
    faults.replaceChildren(...wrong.map((sentence) => {
      const item = document.createElement("li");
      item.textContent = sentence;
      return item;
    }));
    if (!wrong.length) give();
  });
  form.addEventListener("reset", (event) => {
    if (!confirm("Empty the form? What is typed in it is lost.")) {
      event.preventDefault();
      return;
    }
    // The fields are empty only once this event is over.
    setTimeout(() => { keep(); show(); faults.replaceChildren(); });
  });
  form.querySelector(".give").hidden = false;
  restore();
  show();
})();
