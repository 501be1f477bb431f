// The number pad of the sheet: big keys that type into the open field, its unit, and the check
// that a number is possible at all. Whether it is good, the server says.

const NUMBER = /^([-+−]?)(?:(\d+)\s+(?=\d+\/))?(?:(\d+)\/(\d+)|(\d+\.?\d*|\.\d+))$/;
const PLAIN = /^[-+−\d./\s]*$/; // with letters in it, a unit was typed, and the server reads that
const CHOSEN = "handback-unit:"; // the unit that was last chosen, by the unit of the criterion

function valueOf(text, unit) {
  const found = NUMBER.exec(text);
  if (!found) return NaN;
  const [, sign, whole, top, bottom, decimal] = found;
  let value = top ? Number(whole || 0) + Number(top) / Number(bottom) : Number(decimal);
  if (top && unit.code === "32nds") value *= 32; // a fraction is of an inch
  return sign && sign !== "+" ? -value : value;
}

// Returns a number as it is written with its unit: `3/32 in`, `32 psi`.
export function withUnit(text, unit) {
  if (/[^-+−\d./\s]/.test(text)) return text;
  if (text.includes("/")) return `${text} in`;
  return `${text}${unit.sign || ` ${unit.code}`}`;
}

// Returns the sentence why no car could have this number, empty when it is possible.
export function impossible(text, unit, title) {
  if (!PLAIN.test(text)) return "";
  const value = valueOf(text, unit);
  if (!Number.isFinite(value)) return `“${text}” is not a number. Type ${unit.range}.`;
  if (value >= unit.least - 1e-9 && value <= unit.most + 1e-9) return "";
  return `${title} of ${withUnit(text, unit)} is not possible. Type ${unit.range}.`;
}

// Returns the unit in which this person reads such a criterion: the one chosen last, or its own.
export function usualUnit(units) {
  const chosen = stored(units[0].code);
  return units.find((unit) => unit.code === chosen) || units[0];
}

function stored(code) {
  try {
    return localStorage.getItem(CHOSEN + code);
  } catch {
    return null;
  }
}

export function otherUnit(units, unit) {
  const other = units[(units.indexOf(unit) + 1) % units.length];
  try {
    localStorage.setItem(CHOSEN + units[0].code, other.code);
  } catch {
    // It is only a convenience.
  }
  return other;
}

function press(field, text) {
  const { selectionStart: start, selectionEnd: end } = field;
  if (text) field.setRangeText(text, start, end, "end");
  else field.setRangeText("", start === end ? Math.max(0, start - 1) : start, end, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// Lets the keys in `keys` type into the field that `fieldNow` gives.
export function listen(keys, fieldNow) {
  // The field keeps the focus, and with it the place where the next digit goes.
  keys.addEventListener("mousedown", (event) => event.preventDefault());
  keys.addEventListener("click", (event) => {
    const key = event.target.closest("[data-type], [data-delete]");
    if (key) press(fieldNow(), key.dataset.type || "");
  });
}

// Shows the unit that is typed in, the range, and the slash where a fraction of an inch is typed.
export function showUnit(pad, units, unit, last) {
  pad.querySelector("[data-range]").textContent = [unit.range, last && `last ${last}`]
    .filter(Boolean)
    .join("; ");
  const key = pad.querySelector("[data-unit]");
  const other = units[(units.indexOf(unit) + 1) % units.length];
  key.replaceChildren(short(unit));
  if (other !== unit) key.append(document.createElement("br"), `to ${short(other)}`);
  key.disabled = other === unit;
  const fractions = unit.code === "in";
  pad.querySelector("[data-type='/']").hidden = !fractions;
  pad.querySelector("[data-number]").classList.toggle("five", fractions);
}

function short(unit) {
  return unit.code === "32nds" ? "1/32 in" : unit.sign.trim() || unit.code;
}
