// The points of the sheet as this page knows them, and where they stand on it. A point is named by
// its path, `tire-tread/LF`, which is also the end of its address.

import { all } from "./kept.js";

const frame = document.getElementById("pad");
const known = JSON.parse(document.getElementById("points").textContent);

export const { user, name, car, sheet, final } = frame.dataset;
export const reasonsNotToRead = known.cant;
const criteria = known.criteria;

const order = Object.keys(criteria).flatMap(pathsOf);

function pathsOf(code) {
  return Object.keys(criteria[code].places).map((place) => (place ? `${code}/${place}` : code));
}

function split(path) {
  const [code, place = ""] = path.split("/");
  return { criterion: criteria[code], place, code };
}

export function criterionOf(path) {
  return split(path).criterion;
}

// Returns what is known of one place: `where` in words, the reading `seen` there, the `last` value,
// and whether it is `done`.
export function placeOf(path) {
  const { criterion, place } = split(path);
  return criterion?.places[place];
}

export function titleOf(path) {
  const { where } = placeOf(path);
  return where ? `${criterionOf(path).title}, ${where}` : criterionOf(path).title;
}

export function addressOf(path) {
  return `${sheet}${path}/`;
}

// Returns the point that a link on the page leads to, empty when it is none of this sheet.
export function pathOf(link) {
  const path = new URL(link.href).pathname;
  const end = path.startsWith(sheet) ? path.slice(sheet.length).replace(/\/$/, "") : "";
  return end && placeOf(end) ? end : "";
}

// Returns what this person recorded on this sheet and the server does not have yet.
export function keptHere() {
  return all().filter((row) => row.user === user && row.sheet === sheet && row.final === final);
}

// Some readings are asked for only after what was read; the server says of which.
function isAsked(path) {
  return document.getElementById("walk").dataset.asked.split(" ").includes(path);
}

function isLeft(path, kept) {
  const criterion = criterionOf(path);
  const settled = criterion.settled_by.some(
    (code) => criteria[code] && pathsOf(code).some((one) => placeOf(one).done || kept.has(one)),
  );
  const wanted = (criterion.needed && !settled) || isAsked(path);
  return wanted && !placeOf(path).done && !kept.has(path);
}

// Returns what one tap may call good: the places of this criterion of which nobody has said a thing.
// Nothing where it is measured, and `all` says whether they are all places that it has.
export function restOf(path) {
  const { criterion, code } = split(path);
  const kept = new Set(keptHere().map((row) => row.path));
  const paths = criterion.units ? [] : pathsOf(code);
  const rest = paths.filter((one) => !placeOf(one).done && !kept.has(one));
  return { rest, all: rest.length === paths.length };
}

// Returns the banner of a look that has ended, nothing while it goes on.
export function theStop() {
  const banner = document.getElementById("stop");
  return banner?.firstElementChild && banner;
}

// Returns the first point that is still to be read after this one, else the first of the sheet.
export function following(path) {
  if (theStop()) return undefined;
  const kept = new Set(keptHere().map((row) => row.path));
  const here = order.indexOf(path) + 1;
  const around = [...order.slice(here), ...order.slice(0, here)];
  return around.find((one) => one !== path && isLeft(one, kept));
}

// ---- where they stand on the page ----

export function sectionOf(path) {
  return document.getElementById(`c-${split(path).code}`);
}

export function linkOf(path) {
  return sectionOf(path)?.querySelector(`.pair a[href="${addressOf(path)}"]`);
}

// A closed section carries its open face with it, so that opening it needs no server.
export function unfold(path) {
  bring(criterionOf(path).group);
  const section = sectionOf(path);
  const face = section?.querySelector(":scope > template");
  if (!face) return section;
  section.querySelector(":scope > .line").replaceWith(face.content.cloneNode(true));
  face.remove();
  section.classList.remove("shut");
  return section;
}

// The page shows one group; the others wait in it. Bringing one puts the shown one away.
export function bring(group) {
  const waiting = document.querySelector(`template[data-group="${group}"]`);
  if (!waiting) return;
  const shown = document.querySelector("div[data-group]");
  const away = document.createElement("template");
  away.dataset.group = shown.dataset.group;
  away.content.append(...shown.childNodes);
  shown.after(away);
  shown.dataset.group = group;
  shown.append(waiting.content);
  waiting.remove();
  for (const link of document.querySelectorAll("#left a")) {
    if (link.dataset.group === group) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
}

// Puts what the server drew anew in its place, wherever that is kept.
export function renew(html) {
  const drawn = document.createElement("template");
  drawn.innerHTML = html;
  const rooms = [document, ...[...document.querySelectorAll("template[data-group]")].map((one) => one.content)];
  for (const part of [...drawn.content.children]) {
    const old = rooms.map((room) => room.getElementById(part.id)).find(Boolean);
    if (old) old.replaceWith(part);
  }
}
