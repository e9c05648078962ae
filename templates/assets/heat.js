// Judges readings as `gapbook triage` and `gapbook prove` do, by the numbers that the page hands it; a test
// holds its answers to theirs. What would need the solved stack-up, it leaves to them. The sheet reads
// without it.
"use strict";
(() => {
  const form = document.querySelector("form.readings");
  if (!form) return;
  const [heat, practice] = [JSON.parse(form.dataset.heat), JSON.parse(form.dataset.practice)];
  const names = ["die", "hotspot", "memory"];
  const sensors = Object.fromEntries(heat.sensors.map((one) => [one.sensor, one]));
  const known = (value) => value !== null && value !== undefined;
  const rectangular = (half) => half / Math.sqrt(3);

  // An estimate is a value and its standard uncertainty (JCGM 100).
  const perWatt = (kelvin, standard, heatW) => ({
    value: kelvin / heatW,
    standard: Math.hypot(standard / heatW, (kelvin / heatW) * rectangular(practice.heat_share)),
  });
  const rise = (read, name) => known(read[name]) && known(read.ambient) && known(read.heat)
    ? perWatt(read[name] - read.ambient, Math.hypot(rectangular(practice.sensor_k), rectangular(practice.ambient_k)), read.heat)
    : null;
  const excess = (read) => known(read.hotspot) && known(read.die) && known(read.heat)
    ? perWatt(read.hotspot - read.die, Math.hypot(rectangular(practice.sensor_k), rectangular(practice.sensor_k)), read.heat)
    : null;
  const standing = (value, range) => {
    if (!value || !range) return "not known";
    return value.value > range.high ? "above" : value.value < range.low ? "below" : "within";
  };
  const fan = (read) => {
    if (!known(read.fan)) return "not known";
    if (read.fan <= 0 && !(heat.fan_rpm?.[0] <= 0)) return "below";
    if (!heat.fan_rpm) return "not known";
    const [least, greatest] = heat.fan_rpm;
    if (read.fan < (1 - practice.fan_share) * least) return "below";
    return read.fan > (1 + practice.fan_share) * greatest ? "above" : "within";
  };
  const states = (read) => names.filter((name) => known(read[name])).map((name) => {
    const { limit_c: limit, healthy } = sensors[name];
    const value = rise(read, name);
    const margin = known(limit) ? limit - read[name] : null;
    return { name, read: read[name], limit, margin, rise: value, healthy, standing: standing(value, healthy) };
  });
  const complains = (read) => read.throttling === true || read.crashing === true;
  const warmer = (all, far) => far === "above" || all.some((one) => one.standing === "above");

  // What makes readings no readings under full load, and what is wrong with a fan.
  const misread = (read) => known(read.heat) && known(heat.heat_w) && read.heat > practice.misread_load_share * heat.heat_w;
  const faint = (read) => known(read.heat) && known(heat.heat_w) && read.heat < practice.faint_load_share * heat.heat_w;
  // Leaves out a heat that cannot be believed: nothing can be said for each watt of it.
  const believed = (read) => misread(read) || faint(read) ? { ...read, heat: null } : read;
  const unsure = (read) => {
    if (misread(read)) return "the heat is far above what the board gives off under full load: read the heat again";
    if (known(read.heat) && known(heat.heat_w) && read.heat < practice.full_load_share * heat.heat_w) {
      return `${read.heat} W are not the ${heat.heat_w} W of full load: `
        + (faint(read) ? "read the heat again, or all of it under full load" : "read it again under full load");
    }
    const cold = known(read.ambient) && states(read).find((one) => one.read - read.ambient < practice.cold_k
      || (one.rise && one.healthy && one.rise.value < practice.cold_share * one.healthy.low));
    return cold ? `the ${cold.name} is too cold for full load: read it again` : null;
  };
  const fanWords = (read) => {
    if (known(read.fan) && read.fan <= 0 && fan(read) === "below") return "its fan stands still";
    return fan(read) === "above" ? "its fan turns faster than healthy boards need" : null;
  };
  const limitWords = (all) => all.some((one) => one.margin < 0) ? "a temperature is over its limit" : "a temperature is at its limit";

  const triage = (asRead) => {
    const read = believed(asRead);
    const all = states(read);
    const far = standing(excess(read), heat.excess);
    const of = (name) => all.find((one) => one.name === name);
    const above = (name) => of(name)?.standing === "above";
    const near = all.some((one) => known(one.margin) && one.margin < practice.near_k);
    const atLimit = all.some((one) => known(one.margin) && one.margin <= practice.sensor_k);
    const isFar = known(read.hotspot) && known(read.die) && read.hotspot - read.die >= practice.far_k
      && far !== "within" && far !== "below";
    const hotspot = of("hotspot");
    const littleRoom = known(hotspot?.margin) && hotspot.margin < practice.far_room_k;
    const alike = (far === "within" || far === "below") && above("die") && above("memory") && fan(read) === "not known";
    const trouble = atLimit || (isFar && littleRoom) || (complains(read) && (near || isFar || warmer(all, far)));
    const unread = names.some((name) => known(sensors[name].limit_c) && !known(read[name]));
    const judged = all.some((one) => known(one.limit) || one.standing !== "not known");
    if (!all.length) return ["not known: measure this first", "no temperature was read"];
    if (trouble) {
      if (fan(read) === "below") return ["not known: measure this first", "the fan is too slow or stands still: put that right, and measure again"];
      if (read.dusty) return ["not known: measure this first", "blow out the fins, and measure again"];
      if (known(read.ambient) && read.ambient >= practice.hot_room_c) return ["not known: measure this first", "cool the room or open the case, and measure again"];
      if (alike) return ["not known: measure this first", "everything is warmer alike: that is air, not paste. Clean the fins, see the fans turn, and measure again"];
      return ["open it", atLimit ? limitWords(all) : complains(read) ? "it throttles or crashes, and its temperatures explain it" : "the hotspot is far above the die’s mean and near its limit"];
    }
    const unsureOf = unsure(asRead);
    if (unsureOf) return ["not known: measure this first", unsureOf];
    if (complains(read)) return ["not known: measure this first", "it throttles or crashes, and none of these temperatures explains it: neither pads nor paste cure that"];
    if ((read.throttling !== false && unread) || !judged) return ["not known: measure this first", "read every sensor that has a limit, and whether it throttles"];
    const fanSays = fanWords(read);
    if (fanSays) {
      return fan(read) === "below" ? ["not known: measure this first", `${fanSays}: put that right, and measure again`]
        : ["watch it", `${fanSays}: it may hide what would else be warm`];
    }
    if (near) return ["watch it", "a temperature is near its limit, and nothing has failed"];
    if (warmer(all, far)) return ["watch it", "it is warmer than healthy boards and inside its limits: opening it would risk more than it wins"];
    return ["leave it", "it is inside its limits, and nothing has failed"];
  };

  const change = (before, after) => {
    if (!before || !after) return null;
    const [differ, own] = [after.value - before.value, 2 * Math.hypot(before.standard, after.standard)];
    return differ < -own ? "better" : differ > own ? "worse" : "no change";
  };
  // Complaints before that nobody has answered after: throttling is no answer to crashing.
  const unanswered = (before, after) => [["throttling", "throttled"], ["crashing", "crashed"]]
    .filter(([name]) => before[name] === true && !known(after[name])).map(([, word]) => word);
  const direction = (before, after) => {
    const isNew = (name) => before[name] === false && after[name] === true;
    if (complains(before) && !complains(after) && !unanswered(before, after).length) return "better";
    if (!complains(before) && complains(after) && (isNew("throttling") || isNew("crashing"))) return "worse";
    const changes = [...names.map((name) => change(rise(before, name), rise(after, name))),
      change(excess(before), excess(after))].filter(Boolean);
    if (!changes.length) return null;
    const [better, worse] = [changes.includes("better"), changes.includes("worse")];
    return better === worse ? "no change" : better ? "better" : "worse";
  };
  const prove = (before, after) => {
    const found = cameTo(before, after);
    const open = unanswered(before, after);
    const isGood = ["back to normal", "better, not normal", "better; what is normal is not known"].includes(found[0]);
    return isGood && open.length
      ? ["not known: measure this first", `it ${open.join(" and ")} before: say whether it still does`] : found;
  };
  const cameTo = (beforeAsRead, afterAsRead) => {
    const [before, after] = [believed(beforeAsRead), believed(afterAsRead)];
    const all = states(after);
    if (!all.length) return ["not known: measure this first", "no temperature was read after the job"];
    const why = [];
    if (after.throttling === true) why.push("it throttles");
    if (after.crashing === true) why.push("it crashes");
    if (all.some((one) => known(one.margin) && one.margin <= 0)) why.push(limitWords(all));
    if (!why.length && unsure(afterAsRead)) return ["not known: measure this first", unsure(afterAsRead)];
    if (fanWords(after)) why.push(fanWords(after));
    const isWarmer = warmer(all, standing(excess(after), heat.excess));
    if (isWarmer) why.push("it is warmer than healthy boards");
    const well = !why.length;
    const judged = all.every((one) => one.standing !== "not known");
    const unread = names.filter((name) => !known(after[name])
      && (sensors[name].healthy || known(sensors[name].limit_c) || known(before[name])));
    if (well && judged && !unread.length) return ["back to normal", "every reading is as healthy boards show"];
    const went = direction(before, after);
    const said = why.join("; ");
    if (went === "worse") return ["worse", said || "it is warmer than before, for each watt"];
    if (went === "no change" && !well) return ["no better", said];
    if (went === "better" && !well) return ["better, not normal", said];
    if (went === "better" && !judged) return ["better; what is normal is not known", "fewer than two healthy jobs are in the book"];
    if (went === null && !well) return ["not normal", said];
    return ["not known: measure this first", unread.length ? `read the ${unread.join(" and the ")} too` : "read the room, the heat and every sensor, before and after"];
  };

  // Degrees Fahrenheit are recognised and asked about, never converted.
  const celsius = (fahrenheit) => (fahrenheit - 32) / 1.8;
  const doubt = (read) => {
    const asks = (name, hottest, greatest) => {
      const [value, meant] = [read[name], celsius(read[name])];
      return known(value) && value > hottest && meant >= 0 && meant <= greatest
        ? `${name}: ${value} looks like °F; ${meant.toFixed(0)} °C?` : null;
    };
    // Readings are judged together: a room in °C speaks for °C, one in °F for °F.
    const meant = names.filter((name) => known(read[name])).map((name) => celsius(read[name]));
    const areCelsius = (known(read.ambient) && read.ambient <= practice.warmest_room_c)
      || meant.some((one) => one < practice.coldest_chip_c);
    const room = asks("ambient", practice.warmest_room_c, practice.warmest_room_c);
    const isTurned = room && meant.every((one) => one >= celsius(read.ambient) + practice.cold_k && one <= practice.hottest_chip_c);
    const hottest = (name) => {
      if (isTurned) return -Infinity;
      return areCelsius || !known(sensors[name].limit_c) ? practice.hottest_chip_c
        : Math.min(sensors[name].limit_c + practice.beyond_limit_k, practice.hottest_chip_c);
    };
    const chip = (name) => asks(name, hottest(name), practice.hottest_chip_c);
    if (known(read.heat) && read.heat <= 0) return "heat: a board under load gives off heat";
    const cold = names.find((name) => known(read[name]) && known(read.ambient)
      && read[name] < read.ambient - practice.ambient_k - practice.sensor_k);
    const low = known(read.hotspot) && known(read.die) && read.hotspot < read.die - practice.sensor_k;
    const asked = [room, ...names.map(chip)].filter(Boolean);
    return asked.length ? asked.join("; ")
      : (cold ? `the ${cold} cannot be colder than the room` : low ? "the hotspot cannot be below the die’s mean" : null);
  };

  const read = (when) => {
    const fields = form.querySelector(`[data-when="${when}"]`);
    const field = (name) => fields.querySelector(`[name="${name}"]`).value.trim().replace(",", ".");
    const amount = (name) => (field(name) !== "" && Number.isFinite(Number(field(name))) ? Number(field(name)) : null);
    const answer = (name) => ({ yes: true, no: false })[field(name)] ?? null;
    const amounts = ["ambient", "heat", "fan", ...names].map((name) => [name, amount(name)]);
    return { ...Object.fromEntries(amounts), throttling: answer("throttling"), crashing: answer("crashing"),
      dusty: form.elements.dusty?.checked ?? false };
  };

  const line = (one) => {
    const margin = known(one.margin) ? `, ${Math.abs(one.margin).toFixed(0)} K ${one.margin > 0 ? "below" : "over"} its limit` : "";
    const end = { above: one.healthy?.high, below: one.healthy?.low }[one.standing];
    // As many digits as show that it is above, or below.
    const digits = known(end) ? [3, 4, 5].find((count) => one.rise.value.toFixed(count) !== end.toFixed(count)) ?? 6 : 3;
    const beside = one.rise ? `; ${one.rise.value.toFixed(digits)} ± ${(2 * one.rise.standard).toFixed(digits)} K for each watt` : "";
    const range = one.rise && one.healthy ? `, ${one.standing} the ${one.healthy.low.toFixed(digits)} to ${one.healthy.high.toFixed(digits)} of ${one.healthy.jobs} healthy jobs` : "";
    return `${one.name} at ${one.read} °C${margin}${beside}${range}`;
  };

  // Puts readings on the strip, moved to its room and load where those were read.
  const strip = document.querySelector("svg.strip");
  const mark = (all) => {
    for (const old of strip?.querySelectorAll(".mine") ?? []) old.remove();
    for (const one of all) {
      const row = strip?.querySelector(`[data-sensor="${one.name}"]`);
      if (!row) continue;
      const { left, right, low, high } = Object.fromEntries(Object.entries(strip.dataset).map(([key, value]) => [key, Number(value)]));
      const shown = one.rise && known(heat.heat_w) ? heat.room_c + one.rise.value * heat.heat_w : one.read;
      const at = Math.min(Math.max(left + ((right - left) * (shown - low)) / (high - low), left), right);
      const y = Number(row.querySelector(".own").dataset.y);
      const mine = document.createElementNS("http://www.w3.org/2000/svg", "path");
      mine.setAttribute("class", "mine");
      mine.setAttribute("d", `M${at - 2} ${y + 3}h4l-2-5z`);
      row.append(mine);
    }
  };

  const verdict = form.querySelector(".verdict");
  const say = (texts) => verdict.replaceChildren(...texts.map((text, index) => {
    const item = document.createElement("p");
    item.className = index === 0 ? "word" : "";
    item.textContent = text;
    return item;
  }));
  const judge = () => {
    const isProof = form.dataset.judge === "prove";
    const now = read(isProof ? "after" : "now");
    const before = isProof ? read("before") : null;
    const wrong = doubt(now) ?? (before && doubt(before));
    const sure = states(believed(now));
    mark(wrong ? [] : sure);
    if (wrong) return say(["see the readings again", wrong]);
    if (!sure.length) return say(["", "Put in what you read; what you did not read, leave out."]);
    say([...(isProof ? prove(before, now) : triage(now)), ...sure.map(line)]);
  };

  form.hidden = false;
  for (const blank of document.querySelectorAll(".blanks")) blank.classList.add("print-only");
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", judge);
  judge();
})();
