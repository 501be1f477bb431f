// Photos chosen on a page are first kept in this browser and then sent in pieces, so that neither a
// lost connection nor a closed page loses one. Without script the form sends itself.

const PIECE = 512 * 1024;
const WAITS = [1, 2, 5, 10, 30]; // seconds between tries
const STORE = "waiting";
const rows = new Map(); // id -> what is kept in the browser, and its `state`
const ENDED = ["kept", "refused"];
let running = false;
let again = false;
let bar = ""; // what only a person can change, and what holds the sending up until then

class Later extends Error {} // the connection or the server is away
class Barred extends Error {} // only a person can go on

// ---- what is kept in the browser ----

function done(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

const opening = indexedDB.open("handback-photos", 1);
opening.onupgradeneeded = () => opening.result.createObjectStore(STORE, { keyPath: "id" });
const database = done(opening);

async function store(how, work) {
  return done(work((await database).transaction(STORE, how).objectStore(STORE)));
}

async function keep(row) {
  const { state, ...kept } = row;
  await store("readwrite", (all) => all.put(kept));
}

async function drop(row) {
  await store("readwrite", (all) => all.delete(row.id));
}

function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

// ---- talking with the server ----

async function call(address, options = {}) {
  const token = document.querySelector("form[data-photos] [name=csrfmiddlewaretoken]").value;
  let answer;
  try {
    answer = await fetch(address, {
      redirect: "manual",
      ...options,
      headers: { "X-CSRFToken": token, ...options.headers },
    });
  } catch {
    throw new Later();
  }
  if (answer.type === "opaqueredirect") throw new Barred("Sign in again to send them.");
  if (answer.status === 403) throw new Barred("Open this page again to send them.");
  if (answer.status >= 500 || answer.status === 429) throw new Later();
  return answer;
}

function offsetOf(answer) {
  return Number(answer.headers.get("Upload-Offset"));
}

// Returns how many bytes the server has of a photo, after asking it to take the photo if needed.
async function whereToGoOn(row) {
  if (row.location) {
    const known = await call(row.location, { method: "HEAD" });
    if (known.ok) return offsetOf(known);
  }
  const fields = new FormData();
  fields.set("client_key", row.id);
  fields.set("size", row.file.size);
  fields.set("about", row.about);
  fields.set("key", row.key);
  const begun = await call(row.begin, { method: "POST", body: fields });
  if (!begun.ok) {
    await refuse(row, await sentence(begun));
    return row.file.size;
  }
  row.location = begun.headers.get("Location");
  await keep(row);
  return offsetOf(begun);
}

async function sentence(answer) {
  const plain = (answer.headers.get("Content-Type") || "").startsWith("text/plain");
  return plain ? answer.text() : "It can’t be kept here.";
}

async function send(row) {
  let offset = await whereToGoOn(row);
  while (offset < row.file.size) {
    const answer = await call(row.location, {
      method: "PATCH",
      headers: { "Content-Type": "application/partial-upload", "Upload-Offset": String(offset) },
      body: row.file.slice(offset, offset + PIECE),
    });
    if (!answer.ok && answer.status !== 409) {
      await refuse(row, await sentence(answer));
      return;
    }
    offset = offsetOf(answer);
  }
  if (!ENDED.includes(row.state)) row.state = "prepared";
}

// Asks until the photo is kept or refused; it is looked at by a job and not at once.
async function fetchKept(row) {
  for (;;) {
    const answer = await call(row.location);
    if (answer.status === 200) return show(row, (await answer.json()).html);
    if (answer.status !== 202) return refuse(row, await sentence(answer));
    await new Promise((resolve) => setTimeout(resolve, 1000));
  }
}

async function show(row, html) {
  await drop(row);
  row.state = "kept";
  for (const form of formsOf(row)) {
    form.closest("[data-strip]").querySelector("[data-shots]").insertAdjacentHTML("beforeend", html);
  }
}

async function refuse(row, because) {
  await drop(row);
  row.state = "refused";
  for (const form of formsOf(row)) tell(form, `${row.name} is not kept. ${because}`);
}

function tell(form, sentence) {
  const line = document.createElement("li");
  line.textContent = sentence;
  form.querySelector("[data-refused]").append(line);
}

// ---- the queue ----

function open(state) {
  return [...rows.values()].filter((row) => row.state === state);
}

async function pass() {
  for (const row of open("waits")) {
    row.state = "sends";
    say();
    try {
      await send(row);
    } finally {
      if (row.state === "sends") row.state = "waits";
      say();
    }
  }
  for (const row of open("prepared")) {
    await fetchKept(row);
    say();
  }
}

function sleep(seconds) {
  return new Promise((resolve) => {
    setTimeout(resolve, seconds * 1000);
    window.addEventListener("online", resolve, { once: true });
  });
}

async function work() {
  let tries = 0;
  while (open("waits").length || open("prepared").length) {
    try {
      await pass();
      tries = 0;
    } catch (problem) {
      if (problem instanceof Barred) {
        bar = problem.message;
        return;
      }
      if (!(problem instanceof Later)) throw problem;
      await sleep(WAITS[Math.min(tries, WAITS.length - 1)]);
      tries += 1;
    }
  }
}

// One page of this browser sends at a time; where there are no locks, the server sorts it out.
async function start() {
  again = true;
  if (running) return;
  running = true;
  bar = "";
  try {
    while (again) {
      again = false;
      await (navigator.locks ? navigator.locks.request("handback-photos", work) : work());
    }
  } finally {
    running = false;
    say();
  }
}

// ---- the page ----

function formsOf(row) {
  return [...document.querySelectorAll("form[data-photos]")].filter((form) => belongs(row, form));
}

function belongs(row, form) {
  const fields = form.elements;
  const same = row.about === fields.about.value && row.key === fields.key.value;
  return same && row.begin === form.dataset.begin;
}

function count(number, one, several) {
  return `${number} ${number === 1 ? one : several}`;
}

function words(mine) {
  const of = (state) => mine.filter((row) => row.state === state).length;
  const total = mine.length - of("refused");
  if (!total) return "";
  const waits = of("waits") + of("sends");
  if (of("kept") === total) return `${count(total, "photo is", "photos are")} kept.`;
  const parts = [`${total - waits} of ${total} sent`];
  if (of("sends")) parts.push("1 is being sent");
  if (of("waits")) {
    const held = bar || of("sends") || open("sends").length;
    parts.push(count(of("waits"), "waits", "wait") + (held ? "" : " for a connection"));
  }
  if (of("prepared")) parts.push(`${count(of("prepared"), "is", "are")} being prepared`);
  return `${parts.join("; ")}. ${bar || (waits ? "You can close this page: they stay in this browser." : "")}`.trim();
}

function say() {
  for (const form of document.querySelectorAll("form[data-photos]")) {
    const text = words([...rows.values()].filter((row) => belongs(row, form)));
    const place = form.querySelector("[data-said]");
    if (place.textContent !== text) place.textContent = text;
  }
}

async function choose(form, input) {
  const now = Date.now();
  for (const [index, file] of [...input.files].entries()) {
    const row = {
      id: newId(),
      at: now + index / 1000, // so that they arrive in the order in which they were taken
      user: form.dataset.user,
      begin: form.dataset.begin,
      about: form.elements.about.value,
      key: form.elements.key.value,
      name: file.name,
      file,
    };
    try {
      await keep(row);
    } catch {
      tell(form, `${row.name} is not kept. This browser has no room for it: send the others first.`);
      continue;
    }
    rows.set(row.id, { ...row, state: "waits" });
  }
  input.value = "";
  await start();
}

function dress(root) {
  for (const form of root.querySelectorAll("form[data-photos]")) form.querySelector(".btns")?.remove();
  say();
}

async function begin() {
  await database;
  dress(document);
  document.addEventListener("change", (event) => {
    const form = event.target.closest?.("form[data-photos]");
    if (form && event.target.type === "file") choose(form, event.target);
  });
  document.addEventListener("htmx:load", () => dress(document));
  window.addEventListener("online", start);
  const user = document.querySelector("form[data-photos]")?.dataset.user;
  const kept = await store("readonly", (all) => all.getAll());
  for (const row of kept.sort((one, other) => one.at - other.at)) {
    // Photos of another person who uses this browser wait for that person.
    if (row.user === user) rows.set(row.id, { ...row, state: "waits" });
  }
  await start();
}

// A browser that keeps nothing, as some do in a private window, is left with the plain form.
begin();
