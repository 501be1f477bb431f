// The inspection sheet under one thumb: a tap opens a point, the pad or a box answers it, and the
// next one opens. What was read is kept in this browser before it is sent, so all of this goes on
// without a connection. Without script each point is a page with a form.

import { impossible, listen, otherUnit, showUnit, usualUnit, withUnit } from "./keypad.js";
import { drop, keep, sender } from "./kept.js";
import * as points from "./points.js";
import { clock, draw } from "./waiting.js";

const frame = document.getElementById("pad");
const said = document.getElementById("said");
const field = input("read on");
const extra = document.createElement("div"); // what stands below the open place
const drafts = new Map(); // path -> what was typed there and not recorded
let open = null; // the open point: its path, units and unit, link, the field of the marked limit
let saved = "";

const courier = sender({
  user: points.user,
  token: () => document.querySelector("[name=csrfmiddlewaretoken]").value,
  hear,
});

function input(className) {
  const made = Object.assign(document.createElement("input"), { className });
  // The pad has the keys: the phone need not bring its own.
  Object.assign(made, { type: "text", inputMode: "none", autocomplete: "off", maxLength: 15 });
  return made;
}

function part(name) {
  return frame.querySelector(`[data-${name}]`);
}

function say(words) {
  said.textContent = words;
}

function redraw() {
  return draw({
    trouble: courier.trouble(),
    saved,
    frame,
    changed: (act) => {
      act();
      redraw();
      courier.start();
    },
    again: typeAgain,
  });
}

// ---- opening a point ----

function openPoint(path) {
  close();
  const criterion = points.criterionOf(path);
  // A look that has ended shows no more points.
  if (!points.unfold(path) || !points.linkOf(path)) return;
  open = { path, criterion, units: criterion.units, title: points.titleOf(path) };
  if (open.units) prepareNumber();
  else offer(open.title, answers(), record);
  frame.hidden = false;
  part("title").textContent = open.title;
  part("number").hidden = !open.units;
  part("seen").hidden = Boolean(open.units);
  offerRest();
  mount();
  redraw();
  show();
}

function offerRest() {
  const { rest, all } = points.restOf(open.path);
  part("rest").hidden = rest.length < 2;
  part("rest").textContent = `${all ? "All" : "Other"} ${rest.length} good`;
}

function prepareNumber() {
  const draft = drafts.get(open.path) || {};
  open.unit = open.units.find((unit) => unit.code === draft.unit) || usualUnit(open.units);
  field.value = draft.value || "";
  field.setAttribute("aria-describedby", "range fault");
  extra.replaceChildren(fault());
  open.marked = open.criterion.marked ? marked(draft.marked || "") : null;
  unitChanged();
}

function fault() {
  return Object.assign(document.createElement("p"), { id: "fault", className: "err" });
}

// The limit that the maker marked on the part; it is the same on the other side of the car.
function marked(typed) {
  const label = Object.assign(document.createElement("label"), { textContent: open.criterion.marked });
  const made = input("read");
  made.value = typed || open.criterion.lastMarked || "";
  label.append(made);
  extra.append(label);
  return made;
}

function unitChanged() {
  field.setAttribute("aria-label", `${open.title}, ${open.unit.name}`);
  showUnit(frame, open.units, open.unit, points.placeOf(open.path).last);
}

// Puts the field or the boxes where the point stands, again after the section was drawn anew.
function mount() {
  const section = points.unfold(open.path);
  const link = points.linkOf(open.path);
  open.link = link;
  if (open.units) link.replaceWith(field);
  else link.classList.add("on");
  link.setAttribute("aria-current", "true");
  section.querySelector(".pair").after(extra);
}

function close() {
  if (!open) return;
  open.link.classList.remove("on");
  open.link.removeAttribute("aria-current");
  if (open.units) field.replaceWith(open.link);
  extra.remove();
  extra.replaceChildren();
  frame.hidden = true;
  part("range").textContent = "";
  open = null;
}

// Brings the point above the pad into sight and gives the focus to its field or first box.
function show(target = open.units ? field : extra.querySelector("button")) {
  target.focus({ preventScroll: true });
  const section = points.sectionOf(open.path);
  const wide = matchMedia("(min-width: 60.01rem)").matches;
  const foot = wide ? innerHeight : frame.parentElement.getBoundingClientRect().top;
  const below = extra.getBoundingClientRect().bottom > foot;
  if (section.getBoundingClientRect().top < 0 || below) section.scrollIntoView({ block: "start" });
  if (target.getBoundingClientRect().bottom > foot) target.scrollIntoView({ block: "nearest" });
}

// ---- answers that are boxes ----

function answers() {
  const known = open.criterion.answers.map(([value, words]) => ({
    words,
    shown: value === "good" ? "good" : "noted",
    fields: { value },
  }));
  return [...known, { words: "Can’t read it", act: askWhyNot }];
}

function offer(label, choices) {
  const boxes = document.createElement("div");
  boxes.className = "yn";
  boxes.setAttribute("role", "group");
  boxes.setAttribute("aria-label", label);
  for (const choice of choices) {
    const box = Object.assign(document.createElement("button"), { type: "button", textContent: choice.words });
    box.addEventListener("click", choice.act || (() => record(choice.fields, choice.shown)));
    boxes.append(box);
  }
  extra.replaceChildren(boxes);
}

function askWhyNot() {
  if (open.units) remember();
  const choices = points.reasonsNotToRead.map((because) => ({
    words: because,
    shown: "can’t read",
    fields: { because },
  }));
  offer(`Why it can’t be read: ${open.title}`, choices);
  say("Say why it can’t be read.");
  part("number").hidden = part("seen").hidden = true;
  extra.querySelector("button").focus();
}

// ---- recording ----

function remember() {
  const draft = { value: field.value.trim(), unit: open.unit.code, marked: open.marked?.value.trim() };
  if (draft.value) drafts.set(open.path, draft);
  else drafts.delete(open.path);
}

function take(path, fields, shown) {
  const title = points.titleOf(path);
  const { user, name, car, sheet, final } = points;
  const seen = points.placeOf(path).seen ?? "";
  const address = points.addressOf(path);
  const at = clock();
  keep({ user, name, car, sheet, final, path, title, shown, address, at, fields: { ...fields, final, seen_id: seen } });
  drafts.delete(path);
}

function record(fields, shown) {
  const { path, title } = open;
  take(path, fields, shown);
  say(`${title}: ${shown}.`);
  goOn(path);
  courier.start();
}

// Each place is a reading of its own, so that a conflict at one leaves the others as they are.
function recordRest() {
  const { rest } = points.restOf(open.path);
  for (const path of rest) take(path, { value: "good" }, "good");
  say(`${open.criterion.title}: ${rest.length} good.`);
  goOn(rest.at(-1) ?? open.path);
  courier.start();
}

function goOn(path) {
  const next = points.following(path);
  if (next) {
    openPoint(next);
    return;
  }
  close();
  redraw();
  points.linkOf(path)?.focus();
  say(`${said.textContent} ${points.theStop() ? "The look has ended." : "Nothing is left to read."}`);
}

function recordNumber() {
  const value = field.value.trim();
  if (!value) {
    goOn(open.path);
    return;
  }
  const limit = open.marked?.value.trim();
  const wrong = impossible(value, open.unit, open.title);
  if (wrong || limit === "") {
    complain(wrong || `${open.criterion.marked}: type it too.`, wrong ? field : open.marked);
    return;
  }
  if (limit) open.criterion.lastMarked = limit;
  const fields = { value, unit: open.unit.code };
  record(limit ? { ...fields, marked: limit } : fields, withUnit(value, open.unit));
}

function complain(words, target) {
  const place = extra.querySelector(".err");
  place.textContent = words;
  field.setAttribute("aria-invalid", String(target === field));
  say(words);
  show(target);
}

function typeAgain(row) {
  const { value = "", unit = "", marked = "" } = row.fields;
  drafts.set(row.path, { value, unit, marked });
  openPoint(row.path);
}

// ---- what the server answers ----

function hear(row, answer) {
  if (row) {
    if (row.sheet === points.sheet && row.final === points.final) hearOf(row, answer);
    if (answer.recorded) saved = clock();
  }
  const waits = redraw();
  if (!row && courier.trouble()) say(waits);
}

function hearOf(row, answer) {
  const place = points.placeOf(row.path);
  if (answer.recorded) {
    place.seen = answer.recorded.id ?? "";
    place.done = true;
    place.last = answer.recorded.figure;
  }
  const went = !points.theStop();
  if (answer.parts) renewAround(answer.parts);
  say(outcome(row, answer));
  if (went && points.theStop()) endHere();
}

// A look that ends asks for nothing more; a number that is being typed is not taken away.
function endHere() {
  if (open && drafts.has(open.path)) return;
  close();
  redraw();
  points.theStop().scrollIntoView({ block: "center" });
  points.theStop().focus({ preventScroll: true });
}

function outcome(row, answer) {
  if (answer.refused) return `${row.title}: ${answer.refused}`;
  const { deficiency, sentence, figure } = answer.recorded;
  if (!deficiency || deficiency === "none") return `${row.title}: ${figure}. Saved.`;
  const drive = deficiency === "dangerous" ? " Do not drive." : "";
  return `${row.title}: ${deficiency}. ${sentence}${drive}`;
}

// The server draws the section anew; what is open in it moves over, with the focus.
function renewAround(html) {
  const focused = document.activeElement;
  const address = focused.closest?.(".crit") && focused.href;
  points.renew(html);
  if (open && !extra.isConnected) mount();
  if (document.activeElement === focused) return;
  if (focused.isConnected) focused.focus({ preventScroll: true });
  else if (address) document.querySelector(`.crit a[href="${new URL(address).pathname}"]`)?.focus({ preventScroll: true });
}

// ---- listening ----

function tapped(event) {
  if (event.ctrlKey || event.metaKey || event.shiftKey) return;
  const link = event.target.closest?.(".crit a.read");
  const path = link && points.pathOf(link);
  const group = event.target.closest?.("#left a[data-group]")?.dataset.group;
  if (!path && !group) return;
  event.preventDefault();
  event.stopPropagation();
  if (path) openPoint(path);
  else visit(group);
}

function visit(group) {
  close();
  points.bring(group);
  redraw();
  document.getElementById(group)?.scrollIntoView();
}

function keyed(event) {
  if (event.key === "Escape" && open) {
    const { path } = open;
    close();
    redraw();
    points.linkOf(path)?.focus();
  }
  const typing = event.target.matches?.("input.read");
  if (event.key === "Enter" && typing && open) {
    event.preventDefault();
    if (event.target === field && open.marked && field.value.trim()) open.marked.focus();
    else if (!event.repeat) recordNumber();
  }
  // A key held down must not answer one point after another.
  if (event.repeat && event.key === "Enter" && event.target.matches?.("button")) event.preventDefault();
}

function listenToPad() {
  listen(part("number"), () => (document.activeElement === open.marked ? open.marked : field));
  part("next").addEventListener("click", () => {
    const between = open.marked && document.activeElement !== open.marked && field.value.trim();
    if (between && !open.marked.value) open.marked.focus();
    else recordNumber();
  });
  part("unit").addEventListener("click", () => {
    open.unit = otherUnit(open.units, open.unit);
    remember();
    unitChanged();
  });
  // The second tap of a double one would call the next point good unseen.
  part("good").addEventListener("click", (event) => {
    if (event.detail < 2) record({ value: "good" }, "good");
  });
  part("rest").addEventListener("click", (event) => {
    if (event.detail < 2) recordRest();
  });
  part("skip").addEventListener("click", () => goOn(open.path));
  for (const key of frame.querySelectorAll("[data-cant]")) key.addEventListener("click", askWhyNot);
}

field.addEventListener("input", () => {
  remember();
  field.removeAttribute("aria-invalid");
  extra.querySelector(".err").textContent = "";
});
document.addEventListener("click", tapped, true);
document.addEventListener("keydown", keyed);
window.addEventListener("offline", redraw);
window.addEventListener("storage", redraw);
listenToPad();
redraw();
courier.start();
