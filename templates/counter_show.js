// The counter page, second part: what the page shows of one point of a curve. Every text goes in as text, never as
// markup, and what stands on the page is filled anew rather than made anew, so that nothing moves.

const at = (id) => document.getElementById(id);
const now = { vehicle: data.start[0], brief: data.start[1], budget: data.start[2], curve: undefined };

function write(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

function make(tag, parent, name = "") {
  const node = parent.appendChild(document.createElement(tag));
  if (name) node.className = name;
  return node;
}

// The parts list: one row for each role that this curve ever fills, as many as it ever needs, so that nothing on the
// page moves while the slider does.

let slots = [];

function layParts(curve) {
  const most = data.roles.map(() => 0), names = data.roles.map(() => ""), skus = data.roles.map(() => "");
  curve.totals.forEach((_, place) => {
    const counts = data.roles.map(() => 0);
    for (const { role, name, sku } of linesOf(curve, place)) {
      counts[role] += 1;
      most[role] = Math.max(most[role], counts[role]);
      if (name.length > names[role].length) names[role] = name;
      if (sku.length > skus[role].length) skus[role] = sku;
    }
  });
  const body = at("parts").tBodies[0];
  body.replaceChildren();
  slots = most.map((count, role) => Array.from({ length: count }, (_, nth) => laySlot(body, role, nth)));
  reserveRows(slots.flatMap((rows, role) => rows.map((slot) => [slot, names[role], skus[role]])));
}

// Every row as high as its longest name and SKU need.
function reserveRows(longest) {
  for (const [slot, name, sku] of longest) fillSlot(slot, { name, sku, quantity: 1, price: 0, total: 0, tally: 0 });
  const heights = longest.map(([slot]) => slot.row.offsetHeight);
  longest.forEach(([slot], nth) => slot.row.style.setProperty("--height", `${heights[nth]}px`));
}

function laySlot(body, role, nth) {
  const row = make("tr", body);
  const head = make("th", row);
  head.scope = "row";
  head.textContent = data.roles[role];
  const product = make("td", row, "product");
  const link = make("a", product), name = make("span", product);
  link.rel = "noopener noreferrer";
  const cells = ["sku", "n count", "n each", "n total", "n tally"].map((kind) => make("td", row, kind));
  return { row, nth, link, name, cells };
}

function showParts(lines) {
  const used = slots.map(() => 0);
  for (const line of lines) {
    fillSlot(slots[line.role][used[line.role]], line);
    used[line.role] += 1;
  }
  slots.forEach((rows, role) => rows.slice(used[role]).forEach(clearSlot));
}

function fillSlot(slot, line) {
  slot.row.className = "";
  slot.link.hidden = !line.link;
  slot.name.hidden = Boolean(line.link);
  if (line.link) slot.link.href = line.link;
  write(line.link ? slot.link : slot.name, line.name);
  const texts = [line.sku, String(line.quantity), money(line.price), money(line.total), money(line.tally)];
  texts.forEach((text, nth) => write(slot.cells[nth], text));
}

function clearSlot(slot) {
  slot.row.className = slot.nth ? "spare" : "unfilled";
  slot.link.hidden = true;
  slot.name.hidden = false;
  write(slot.name, "none");
  slot.cells.forEach((cell) => write(cell, ""));
}

// The score by part

let bars = [];

function earnedAt(curve, place) {
  return place < 0 ? [] : curve.scores[place].flatMap((group) => data.scores[group]).map((row) => data.earned[row]);
}

function layPoints(curve) {
  const body = at("points").tBodies[0];
  body.replaceChildren();
  bars = earnedAt(curve, 0).map(([name]) => {
    const row = make("tr", body), head = make("th", row);
    head.scope = "row";
    head.textContent = name;
    const earned = make("td", row, "n"), most = make("td", row, "n");
    const track = make("i", make("td", row, "share"), "track");
    return { head, earned, most, fill: make("i", track) };
  });
}

function showPoints(curve, place) {
  const earned = earnedAt(curve, place);
  bars.forEach((bar, nth) => {
    const [name, got, most] = earned[nth] || [bar.head.textContent, 0, 0];
    write(bar.head, name);
    write(bar.earned, earned[nth] ? points(got) : "none");
    write(bar.most, earned[nth] ? points(most) : "");
    bar.fill.style.transform = `scaleX(${most ? got / most : 0})`;
  });
}

// Lists are made anew, and only where what they say has changed

const told = new Map();

function fillList(list, texts, fill) {
  const key = JSON.stringify(texts);
  if (told.get(list) === key) return;
  told.set(list, key);
  list.replaceChildren();
  for (const text of texts) fill(make("li", list), text);
}

function showSentences(list, sentences) {
  fillList(list, sentences, write);
}

function showChanges(changes) {
  fillList(at("changes"), changes, (item, [role, words]) => {
    make("strong", item).textContent = `${role}: `;
    make("span", item).textContent = words;
  });
}

// The answer

const sentencesOf = (number) => data.lists[number].map((sentence) => data.sentences[sentence]);

function verdictOf(place, lines) {
  const { curve, budget } = now;
  if (place < 0) {
    const least = leastFor(curve.totals[0]);
    return `${money(budget)} is below the least budget, ${money(least)}: the cheapest system for this brief in this vehicle costs ${money(curve.totals[0])}.`;
  }
  const total = curve.totals[place], left = budget - total;
  const rest = left < 0 ? `${money(-left)} over the budget, within the allowance of ${data.allowed} %` : `${money(left)} left`;
  const heard = lines.some((line) => data.sounding.includes(line.role));
  const buys = heard ? `buys a system for ${money(total)}` : `buys no speakers and no bass, which the brief does not ask for; what is listed costs ${money(total)}`;
  return `${money(budget)} ${buys}: ${rest}.`;
}

function stepSaid(place, next) {
  const { curve } = now;
  if (next < 0) return "More money adds nothing: no system from the price list scores higher for this brief in this vehicle.";
  if (place < 0) return `The cheapest system costs ${money(curve.totals[0])} and scores ${points(curve.scored[0])}:`;
  const extra = curve.totals[next] - curve.totals[place], gain = curve.scored[next] - curve.scored[place];
  const price = `${money(extra)} more, ${money(curve.totals[next])} in all: ${points(gain)} points more.`;
  return gain >= data.visible ? price : `No step gains ${points(data.visible)} points. The best of all costs ${price}`;
}

function showStep(place, lines) {
  const next = stepFrom(now.curve, place);
  write(at("step"), stepSaid(place, next));
  showChanges(next < 0 ? [] : changesBetween(lines, linesOf(now.curve, next)));
  at("go").hidden = next < 0;
  at("go").value = next;
}

function showWatched(curve, place) {
  for (const id of ["watch", "safe"]) at(id).hidden = place < 0;
  at("print").disabled = place < 0;
  if (place < 0) return;
  const watched = sentencesOf(curve.cautions[place]);
  showSentences(at("cautions"), watched.length ? watched : ["Nothing beyond what is said under Safety."]);
  showSentences(at("safety"), sentencesOf(curve.safety[place]));
}

function showFigures(place) {
  const { curve, budget } = now, left = place < 0 ? 0 : budget - curve.totals[place];
  for (const id of ["total", "sum"]) write(at(id), place < 0 ? "none" : money(curve.totals[place]));
  write(at("left-name"), left < 0 ? "Over the budget" : "Left of the budget");
  write(at("left"), place < 0 ? "none" : money(Math.abs(left)));
  write(at("score"), place < 0 ? "none" : points(curve.scored[place]));
}

const TOP = 100000;

function showPin(place) {
  const score = place < 0 ? 0 : now.curve.scored[place];
  at("pin").style.transform = `translateX(${100 * Math.min(now.budget / data.slider.most, 1)}%)`;
  at("dot").hidden = place < 0;
  at("dot").style.transform = `translateY(${-100 * Math.min(score / TOP, 1)}%)`;
}

// What is asked for, in words.
function asked() {
  const names = [data.vehicles[now.vehicle], data.briefs[now.brief]].filter(Boolean);
  return `${names.map((name) => `${name}. `).join("")}Budget ${money(now.budget)}.`;
}

function show() {
  const { curve, budget } = now;
  at("slider").value = Math.min(budget, data.slider.most);
  at("slider").setAttribute("aria-valuetext", money(budget));
  write(at("for"), asked());
  later(tell, 400);
  if (!curve) return;
  const place = placeOf(curve, capOf(budget)), lines = linesOf(curve, place);
  write(at("verdict"), verdictOf(place, lines));
  showFigures(place);
  showParts(lines);
  showStep(place, lines);
  showPoints(curve, place);
  showPin(place);
  showWatched(curve, place);
}
