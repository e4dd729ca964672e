"use strict";
// The counter page, first part: the data, and how it is looked up, written and read. Nothing here touches the page.
// All answers stand in the data. Money is whole cents and scores are whole thousandths, so no sum is ever rounded.

const data = JSON.parse(document.getElementById("data").textContent);
const curves = new Map(data.curves.map((curve) => [`${curve.vehicle} ${curve.brief}`, curve]));
const [over, of] = data.allowance.map(BigInt);

// Words

function amount(cents) {
  const size = Math.abs(cents), part = size % 100;
  return [String((size - part) / 100), String(part).padStart(2, "0")];
}

function money(cents) {
  const [whole, part] = amount(cents);
  const [last, others] = data.written.sizes;
  const grouped = whole.replace(new RegExp(`\\B(?=(\\d{${others}})*\\d{${last}}$)`, "g"), data.written.grouping);
  const [before, after] = cents < 0 ? data.written.below : data.written.above;
  return `${before}${grouped}${data.written.decimal}${part}${after}`;
}

// As one types it: no sign, no grouping, cents only where there are some.
function plain(cents) {
  const [whole, part] = amount(cents);
  return part === "00" ? whole : `${whole}${data.written.decimal}${part}`;
}

function points(thousandths) {
  const hundredths = Math.floor((thousandths + 5) / 10);
  return `${Math.floor(hundredths / 100)}${data.written.decimal}${String(hundredths % 100).padStart(2, "0")}`;
}

function listed(words) {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}

// Budgets as people type them

const SHAPES = [
  /^(\d+)(?:[.,](\d\d?))?$/, // 1450  1450.5  1450,50
  /^([1-9]\d{0,2}(?:,\d{3})+)(?:\.(\d\d?))?$/, // 1,450  1,450.50: as this page writes it
  /^([1-9]\d{0,2}(?:[ ']\d{3})+)(?:[.,](\d\d?))?$/, // 1 450  1'450,50
  /^([1-9]\d{0,2}(?:\.\d{3})+),(\d\d?)$/, // 1.450,50
  /^([1-9]\d{0,2}(?:\.\d{3}){2,})$/, // 1.234.567
];

// Cents, or words that say why the text is no budget. A text that can be read in two ways is not guessed at.
function readBudget(typed) {
  let text = typed.normalize("NFKC").replace(/[\u2019\u02bc]/g, "'").replace(/\s+/g, " ").trim();
  const mark = data.written.mark.normalize("NFKC");
  if (mark && text.startsWith(mark)) text = text.slice(mark.length).trim();
  else if (mark && text.endsWith(mark)) text = text.slice(0, -mark.length).trim();
  if (!text) return "Write a budget, for example 1450.";
  const two = /^([1-9]\d{0,2})\.(\d{3})$/.exec(text);
  if (two) return `${text} may mean ${two[1]},${two[2]} or ${two[1]} and a part: write ${two[1]}${two[2]} or ${two[1]}.${two[2].slice(0, 2)}.`;
  const found = SHAPES.map((shape) => shape.exec(text)).find(Boolean);
  if (!found) return "That is not an amount that can be read in one way only: write it like 1450 or 1450.50.";
  const whole = found[1].replace(/\D/g, "").replace(/^0+(?=\d)/, "");
  if (whole.length > 9) return "That is more than this page can reckon with: write at most nine digits.";
  return Number(whole) * 100 + Number((found[2] || "").padEnd(2, "0"));
}

// The curve

function placeOf(curve, cap) {
  let low = 0, high = curve.totals.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (curve.totals[middle] <= cap) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

// The whole part of budget x (1 + allowance), exact whatever the fraction; and the least budget whose cap is enough.
const capOf = (budget) => Number((BigInt(budget) * (of + over)) / of);
const leastFor = (cap) => Number((BigInt(cap) * of + of + over - 1n) / (of + over));

// The least budget that buys a point, in whole units of money where those buy it and nothing better.
function budgetFor(curve, place) {
  const least = leastFor(curve.totals[place]), whole = least + ((100 - (least % 100)) % 100);
  return placeOf(curve, capOf(whole)) === place ? whole : least;
}

// The cheapest point that gains enough to be noticed; where none does, the last one; -1 at the top.
function stepFrom(curve, place) {
  const last = curve.totals.length - 1;
  if (place < 0) return 0;
  for (let next = place + 1; next <= last; next += 1) {
    if (curve.scored[next] - curve.scored[place] >= data.visible) return next;
  }
  return place < last ? last : -1;
}

function linesOf(curve, place) {
  const lines = [];
  let tally = 0;
  for (const group of place < 0 ? [] : curve.groups[place]) {
    const row = data.groups[group];
    for (let next = 0; next < row.length; next += 2) {
      const [role, item, price] = data.lines[row[next]], quantity = row[next + 1];
      const [sku, name, link] = data.items[item];
      tally += quantity * price;
      lines.push({ role, sku, name, link, quantity, price, total: quantity * price, tally });
    }
  }
  return lines;
}

function heldIn(lines, role) {
  const held = lines.filter((line) => line.role === role);
  const said = (name) => listed(held.map((line) => (line.quantity > 1 ? `${line.quantity} x ` : "") + name(line)));
  return { is: said((line) => line.sku), named: said((line) => line.name), exact: said((line) => `${line.name} (${line.sku})`) };
}

// Role by role; versions of one product that share their name are told apart by their SKU.
function changesBetween(before, after) {
  const changes = [];
  for (const [role, words] of data.compared) {
    const old = heldIn(before, role), next = heldIn(after, role);
    if (old.is === next.is) continue;
    const [from, to] = old.named === next.named ? [old.exact, next.exact] : [old.named, next.named];
    changes.push([words, !from ? `${to}, new` : to ? `${to} instead of ${from}` : `without ${from}`]);
  }
  return changes;
}
