// The counter page, third part: choosing, typing, dragging, links, and where it all starts.

// What waits until the slider rests: the spoken summary, and the address (browsers refuse a hundred changes at once).

const waiting = new Map();

function later(task, ms) {
  clearTimeout(waiting.get(task));
  waiting.set(task, setTimeout(task, ms));
}

function tell() {
  const place = now.curve ? placeOf(now.curve, capOf(now.budget)) : -1;
  const score = place < 0 ? "" : ` Score ${points(now.curve.scored[place])}.`;
  write(at("status"), at("verdict").textContent + score);
  document.title = asked();
  if (!data.curves.length) return;
  const link = { vehicle: data.vehicles[now.vehicle], brief: data.briefs[now.brief], budget: plain(now.budget) };
  history.replaceState(null, "", `#${new URLSearchParams(link)}`);
}

// Choosing vehicle and brief

const curveOf = (vehicle, brief) => curves.get(`${vehicle} ${brief}`);

function choose() {
  const found = curveOf(now.vehicle, now.brief);
  now.curve = found && found.totals.length ? found : undefined;
  data.briefs.forEach((name, brief) => {
    const curve = curveOf(now.vehicle, brief);
    write(at("brief").options[brief], name + (!curve ? " (not worked out)" : curve.totals.length ? "" : " (no system)"));
  });
  at("vehicle").selectedIndex = now.vehicle;
  at("brief").selectedIndex = now.brief;
  for (const id of ["answer", "figures", "pin", "print"]) at(id).hidden = !now.curve;
  if (!now.curve) write(at("verdict"), nothingSaid(found));
  drawCurve();
  if (now.curve) {
    layParts(now.curve);
    layPoints(now.curve);
    reserveChanges(now.curve);
  }
  show();
}

function nothingSaid(found) {
  if (found) return "No system from the price list meets this brief in this vehicle at any price.";
  const others = data.briefs.filter((_, brief) => curveOf(now.vehicle, brief));
  return `This brief was not worked out for this vehicle. Worked out for it: ${listed(others) || "none"}.`;
}

// Room for the longest list of changes, at about 36 letters to a line.
function reserveChanges(curve) {
  const lines = curve.totals.map((_, place) => {
    const next = stepFrom(curve, place);
    const changes = next < 0 ? [] : changesBetween(linesOf(curve, place), linesOf(curve, next));
    return changes.reduce((sum, [role, words]) => sum + Math.ceil((role.length + 2 + words.length) / 36), 0);
  });
  at("changes").style.setProperty("--lines", Math.max(...lines));
}

function drawCurve() {
  const { totals, scored } = now.curve || { totals: [], scored: [] };
  const steps = totals.map((total, place) => `H${(1000 * total) / data.slider.most}V${100 - (100 * scored[place]) / TOP}`);
  const line = totals.length ? `M0 100${steps.join("")}H1000` : "";
  at("line").setAttribute("d", line);
  at("area").setAttribute("d", line && `${line}V100Z`);
  const last = totals.length - 1;
  const said = last < 0 ? "no system" : `from ${points(scored[0])} at ${money(totals[0])} to ${points(scored[last])} at ${money(totals[last])}`;
  at("curve").setAttribute("aria-label", `Score by budget: ${said}`);
}

// What people do

function setBudget(cents, keepTyped = false) {
  now.budget = cents;
  if (!keepTyped) at("budget").value = plain(cents);
  complain("");
  show();
}

function complain(words) {
  write(at("trouble"), words);
  at("budget").setAttribute("aria-invalid", String(Boolean(words)));
}

// While one types, half an amount is no answer and no mistake: wait for a pause, and complain only at the end.
function typing() {
  const cents = readBudget(at("budget").value);
  if (typeof cents === "number") setBudget(cents, true);
}

function typed() {
  clearTimeout(waiting.get(typing));
  const cents = readBudget(at("budget").value);
  if (typeof cents === "number") setBudget(cents);
  else complain(`${cents} Still shown: ${money(now.budget)}.`);
}

function readFragment() {
  const link = new URLSearchParams(location.hash.slice(1)), unknown = [];
  for (const [name, known] of [["vehicle", data.vehicles], ["brief", data.briefs]]) {
    const place = known.indexOf(link.get(name));
    if (place >= 0) now[name] = place;
    else if (link.has(name)) unknown.push(name);
  }
  const budget = link.get("budget");
  if (/^\d{1,9}(\.\d{1,2})?$/.test(budget || "")) now.budget = readBudget(budget);
  else if (budget !== null) unknown.push("budget");
  at("budget").value = plain(now.budget);
  choose();
  complain(unknown.length ? `The address asks for a ${listed(unknown)} that this page does not know.` : "");
}

function layPage() {
  const fill = (id, names) => names.forEach((name) => { make("option", at(id)).textContent = name; });
  fill("vehicle", data.vehicles);
  fill("brief", data.briefs);
  Object.assign(at("slider"), { min: 0, max: data.slider.most, step: data.slider.step });
  write(at("least"), money(0));
  write(at("most"), money(data.slider.most));
  for (const budget of data.budgets) {
    const button = make("button", at("budgets"));
    button.type = "button";
    button.textContent = money(budget);
    button.addEventListener("click", () => setBudget(budget));
  }
  at("vehicle").addEventListener("change", (event) => { now.vehicle = event.target.selectedIndex; choose(); });
  at("brief").addEventListener("change", (event) => { now.brief = event.target.selectedIndex; choose(); });
  at("slider").addEventListener("input", (event) => setBudget(Number(event.target.value)));
  at("budget").addEventListener("input", () => later(typing, 400));
  at("budget").addEventListener("change", typed);
  at("go").addEventListener("click", (event) => setBudget(budgetFor(now.curve, Number(event.target.value))));
  at("print").addEventListener("click", () => print());
  addEventListener("hashchange", readFragment);
  let width = innerWidth;
  addEventListener("resize", () => {
    // A phone changes its height alone whenever its address bar comes and goes.
    if (width !== innerWidth) later(choose, 200);
    width = innerWidth;
  });
  at("page").hidden = false;
  readFragment();
}

layPage();
