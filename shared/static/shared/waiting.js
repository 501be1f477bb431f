// What the page says about readings that wait: at the point, in the masthead, and where another
// technician was faster, both readings side by side.

import { all, drop, insist, isFragile } from "./kept.js";
import { keptHere, linkOf, sectionOf, sheet, user } from "./points.js";

const line = document.createElement("p");
const faces = new WeakMap(); // link -> what it said before something of this person waited there

export function clock() {
  const now = new Date();
  return `${now.getHours()}:${String(now.getMinutes()).padStart(2, "0")}`;
}

function element(kind, words = "", properties = {}) {
  const made = Object.assign(document.createElement(kind), properties);
  made.append(words);
  return made;
}

function count(rows) {
  return rows.length === 1 ? "1 reading" : `${rows.length} readings`;
}

// ---- at the point ----

function cover(link, words, small, label) {
  if (!faces.has(link)) {
    const { className } = link;
    faces.set(link, { nodes: [...link.childNodes], className, label: link.ariaLabel });
  }
  link.classList.remove("no");
  link.replaceChildren(words, element("small", small));
  link.ariaLabel = label;
}

function uncover(link) {
  const face = faces.get(link);
  link.replaceChildren(...face.nodes);
  link.classList.toggle("no", face.className.split(" ").includes("no"));
  link.ariaLabel = face.label;
  faces.delete(link);
}

const WORDS = { waits: "waits", clash: "not saved", refused: "not saved" };

function drawPoints(rows) {
  const covered = new Set();
  for (const row of rows) {
    const link = linkOf(row.path);
    const small = WORDS[row.state];
    if (link) {
      cover(link, row.shown, small, `${row.title}: ${row.shown}, ${small}`);
      covered.add(link);
      continue;
    }
    const shut = sectionOf(row.path)?.querySelector(".line a.read");
    if (!shut) continue;
    const same = rows.filter((one) => sectionOf(one.path) === sectionOf(row.path));
    const shown = same.length === 1 ? row.shown : String(same.length);
    cover(shut, shown, small, `${row.title}: ${shown} ${small}`);
    covered.add(shut);
  }
  for (const link of document.querySelectorAll(".crit a.read")) {
    if (faces.has(link) && !covered.has(link)) uncover(link);
  }
}

// ---- two readings of one point, or one that can't be taken ----

function button(words, act) {
  return element("button", words, { type: "button", className: "btn", onclick: act });
}

function clash(row, changed) {
  const { read_by: by, figure, at } = row.stands;
  return [
    element("p", element("b", `${by} read ${figure}${at ? ` at ${at}` : ""}; yours: ${row.shown}, ${row.at}.`)),
    element("p", row.said, { className: "small" }),
    [
      button("Keep theirs", () => changed(() => drop(row))),
      button("Record mine", () => changed(() => insist(row))),
    ],
  ];
}

function refusal(row, changed, again) {
  return [
    element("p", element("b", row.said)),
    element("p", `Not saved: ${row.title}, ${row.shown}, ${row.at}. It is kept here.`, { className: "small" }),
    [
      button("Type it again", () => again(row)),
      button("Drop it", () => changed(() => drop(row))),
    ],
  ];
}

function drawNotices(rows, changed, again) {
  const stuck = new Map(rows.filter((row) => row.state !== "waits").map((row) => [row.key, row]));
  for (const notice of document.querySelectorAll("[data-kept]")) {
    const row = stuck.get(notice.dataset.kept);
    if (row) stuck.delete(row.key);
    else notice.remove();
  }
  for (const row of stuck.values()) {
    const section = sectionOf(row.path);
    if (!section) continue;
    const notice = element("div", "", { className: "stop after" });
    notice.dataset.kept = row.key;
    const [said, small, buttons] =
      row.state === "clash" ? clash(row, changed) : refusal(row, changed, again);
    const bar = element("div", "", { className: "btns" });
    bar.append(...buttons);
    notice.append(said, small, bar);
    section.append(notice);
  }
}

// ---- in the masthead ----

function link(words, href) {
  return element("a", words, { href });
}

function troubleNow(trouble, frame) {
  if (trouble === "signed out") {
    const back = `${frame.dataset.signIn}?next=${encodeURIComponent(sheet)}`;
    return ["You are signed out.", " ", link("Sign in", back), " "];
  }
  if (trouble === "stale page") return ["This page is out of date.", " ", link("Open it again", sheet), " "];
  const offline = navigator.onLine ? trouble : "No connection.";
  return offline ? [offline, " "] : [];
}

function ofOthers(rows) {
  const names = new Map();
  for (const row of rows) names.set(row.name, [...(names.get(row.name) || []), row]);
  return [...names].map(
    ([name, own]) =>
      `${count(own)} of ${name} ${own.length === 1 ? "waits" : "wait"} here and ` +
      `${own.length === 1 ? "is" : "are"} kept: sent when ${name} signs in here. `,
  );
}

function stuckElsewhere(rows) {
  return rows.flatMap((row) => [
    "Not saved: ",
    link(row.title, `${row.sheet === sheet ? "" : row.sheet}#c-${row.path.split("/")[0]}`),
    row.sheet === sheet ? ". " : ` on the sheet of the ${row.car}. `,
  ]);
}

function masthead(trouble, frame) {
  const mine = all().filter((row) => row.user === user);
  const waits = mine.filter((row) => row.state === "waits");
  const [bold, ...others] = troubleNow(trouble, frame);
  const words = bold ? [element("b", bold), ...others] : [];
  if (bold && waits.length) {
    words.push(`${count(waits)} ${waits.length === 1 ? "waits here and is" : "wait here and are"} kept. `);
  }
  if (isFragile()) words.push("This browser stores nothing: leave this page open until all is saved. ");
  words.push(...stuckElsewhere(mine.filter((row) => row.state !== "waits")));
  words.push(...ofOthers(all().filter((row) => row.user !== user)));
  return words;
}

function mark() {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  const use = document.createElementNS("http://www.w3.org/2000/svg", "use");
  use.setAttribute("href", "#s-promised");
  svg.setAttribute("class", "m");
  svg.setAttribute("aria-hidden", "true");
  svg.append(use);
  return svg;
}

// The status line of the pad reads it out, so this line itself is no live region.
function drawMasthead(trouble, frame) {
  if (!line.isConnected) document.querySelector(".mast").append(line);
  const words = masthead(trouble, frame);
  const said = element("span", "");
  said.append(...words);
  line.className = words.length ? "who wifi" : "sr";
  if (line.textContent !== said.textContent) line.replaceChildren(...(words.length ? [mark(), said] : []));
  return said.textContent.trim();
}

function drawSaved(rows, saved) {
  const walk = document.getElementById("walk");
  const waits = rows.filter((row) => row.state === "waits").length;
  const words = waits ? `${waits} ${waits === 1 ? "waits" : "wait"} here` : saved && `saved ${saved}`;
  let place = walk?.querySelector("[data-saved]");
  if (walk && !place) {
    place = element("span", "", { className: "dim nb" });
    place.dataset.saved = "";
    walk.append(place);
  }
  if (place && place.textContent !== words) place.textContent = words;
}

// Draws all of it anew and returns what the masthead says. `changed` does something to what is kept
// and draws again, `again` opens a point with what was typed there.
export function draw({ trouble, saved, frame, changed, again }) {
  const rows = keptHere();
  drawPoints(rows);
  drawNotices(rows, changed, again);
  drawSaved(rows, saved);
  return drawMasthead(trouble, frame);
}
