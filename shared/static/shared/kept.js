// Readings made on the sheet. Each is kept in this browser first and then sent, one by one and in
// the order they were made, so that neither a lost connection nor a closed page loses one. The key
// of a reading makes sending it twice harmless.

const PREFIX = "handback-reading:";
const WAITS = [1, 2, 5, 10, 30]; // seconds between tries
const PATIENCE = 10_000; // milliseconds until an answer counts as lost

class Later extends Error {} // the connection or the server is away
class Barred extends Error {} // only a person can go on

const unstored = new Map(); // what the browser's store would not take; lost when the page closes
let counter = 0;

function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

// ---- what is kept ----

// Returns every reading of this browser, of whichever person and car, in the order they were made.
export function all() {
  const rows = [...unstored.values()];
  try {
    for (const name of Object.keys(localStorage)) {
      if (name.startsWith(PREFIX)) rows.push(JSON.parse(localStorage.getItem(name)));
    }
  } catch {
    // A browser that refuses its store has nothing in it.
  }
  return rows.sort((one, other) => one.order - other.order);
}

function put(row) {
  try {
    localStorage.setItem(PREFIX + row.key, JSON.stringify(row));
    unstored.delete(row.key);
  } catch {
    unstored.set(row.key, row);
  }
}

export function drop(row) {
  unstored.delete(row.key);
  try {
    localStorage.removeItem(PREFIX + row.key);
  } catch {
    // It was never in there.
  }
}

// Whether something is kept by this page only, because the browser would not store it.
export function isFragile() {
  return unstored.size > 0;
}

function samePoint(one, other) {
  return one.user === other.user && one.address === other.address && one.final === other.final;
}

// Keeps a new reading. An earlier one of the same point gives way, unless the server may have it.
export function keep(reading) {
  const row = {
    since: Date.now(),
    ...reading,
    key: newKey(),
    order: Date.now() * 1000 + (counter++ % 1000),
    state: "waits",
    tried: false,
  };
  for (const other of all()) {
    if (samePoint(other, row) && (other.state !== "waits" || !other.tried)) drop(other);
  }
  put(row);
  return row;
}

// Sends a reading that was refused because of another one again: over what stands there now.
export function insist(row) {
  const seen = row.stands ? row.stands.id : "";
  return keep({ ...row, fields: { ...row.fields, seen_id: seen }, said: "", stands: null });
}

// ---- sending ----

async function post(row, token) {
  const fields = new FormData();
  for (const [name, value] of Object.entries(row.fields)) fields.set(name, value ?? "");
  fields.set("client_key", row.key);
  // How long it waited, not at what time it was read: the clock of a tablet may be wrong.
  if (row.since) fields.set("seconds_ago", Math.max(0, Math.round((Date.now() - row.since) / 1000)));
  let answer;
  try {
    answer = await fetch(row.address, {
      method: "POST",
      body: fields,
      redirect: "manual",
      headers: { Accept: "application/json", "X-CSRFToken": token },
      signal: AbortSignal.timeout(PATIENCE),
    });
  } catch {
    throw new Later("No connection.");
  }
  return understood(answer);
}

// Returns what the server said. What is no answer of the sheet never counts as recorded.
async function understood(answer) {
  if (answer.type === "opaqueredirect" || answer.status === 401) throw new Barred("signed out");
  if (answer.status === 403) throw new Barred("stale page");
  if (answer.status === 404) return { refused: "This point is not on the sheet any more." };
  try {
    const said = await answer.json();
    if (said.recorded || said.refused) return said;
  } catch {
    // A server in trouble and a network that wants a sign-in answer with a page.
  }
  throw new Later("The server does not answer.");
}

// Takes the answer over. Returns the row as it is kept from now on, or null when it is done with.
function settle(row, said) {
  const later = all().filter((one) => samePoint(one, row) && one.order > row.order);
  if (said.recorded) {
    drop(row);
    for (const one of later) {
      put({ ...one, fields: { ...one.fields, seen_id: said.recorded.id ?? "" } });
    }
    return null;
  }
  if (later.length) {
    drop(row); // a newer one of this person takes its place, and meets the same refusal
    return null;
  }
  const theirs = said.stands && String(said.stands.id) !== String(row.fields.seen_id ?? "");
  const kept = {
    ...row,
    state: theirs ? "clash" : "refused",
    said: said.refused,
    stands: said.stands || null,
  };
  put(kept);
  return kept;
}

// Returns what sends the readings of one person. `token` gives the page's token, `hear` is called
// with (row, answer) after each answer and without arguments whenever the state changes.
export function sender({ user, token, hear }) {
  let trouble = "";
  let running = false;
  let again = false;
  let wake = () => {};

  const waiting = () => all().filter((row) => row.user === user && row.state === "waits");

  async function pass() {
    for (let row; (row = waiting()[0]); ) {
      put({ ...row, tried: true });
      const said = await post(row, token());
      trouble = "";
      const kept = settle(row, said);
      hear(kept || row, said);
    }
  }

  // One page of this browser sends at a time; where there are no locks, the keys sort it out.
  const alone = () => (navigator.locks ? navigator.locks.request(PREFIX, pass) : pass());

  function rest(seconds) {
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, seconds * 1000);
      wake = () => {
        clearTimeout(timer);
        resolve();
      };
    });
  }

  async function work() {
    for (let tries = 0; waiting().length; tries += 1) {
      try {
        await alone();
        return;
      } catch (problem) {
        if (!(problem instanceof Later || problem instanceof Barred)) throw problem;
        trouble = problem.message;
        hear();
        if (problem instanceof Barred) return;
      }
      await rest(WAITS[Math.min(tries, WAITS.length - 1)]);
    }
  }

  async function start() {
    again = true;
    wake(); // a new reading is a good moment to try again
    if (running) return;
    running = true;
    try {
      while (again) {
        again = false;
        await work();
      }
    } finally {
      running = false;
      hear();
    }
  }

  window.addEventListener("online", start);

  return { start, trouble: () => trouble };
}
