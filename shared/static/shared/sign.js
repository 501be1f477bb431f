// A pad on which a name is drawn. Each stroke is written into the hidden field as whole numbers on
// a field of 600 by 200. Without script the pad stays hidden, and what is signed is signed on paper.

const WIDTH = 600;
const HEIGHT = 200;

function prepare(pad) {
  const field = document.getElementById(pad.dataset.sign);
  const drawing = pad.querySelector("svg");
  const ink = drawing.querySelector(".drawn");
  let strokes = read(field.value);

  function show() {
    ink.setAttribute("d", strokes.map((one) => `M${one.map((at) => at.join(" ")).join("L")}`).join(""));
  }

  function at(event) {
    const frame = drawing.getBoundingClientRect();
    const part = (share, most) => Math.min(most, Math.max(0, Math.round(share * most)));
    return [
      part((event.clientX - frame.left) / frame.width, WIDTH),
      part((event.clientY - frame.top) / frame.height, HEIGHT),
    ];
  }

  drawing.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    drawing.setPointerCapture(event.pointerId);
    strokes.push([at(event)]);
    show();
  });
  drawing.addEventListener("pointermove", (event) => {
    if (!drawing.hasPointerCapture(event.pointerId)) return;
    strokes.at(-1).push(at(event));
    show();
  });
  for (const name of ["pointerup", "pointercancel"]) {
    drawing.addEventListener(name, () => {
      field.value = JSON.stringify(strokes);
    });
  }
  pad.querySelector("button").addEventListener("click", () => {
    strokes = [];
    field.value = "";
    show();
  });
  show();
  follow(pad);
}

function read(text) {
  try {
    const sent = JSON.parse(text || "[]");
    return Array.isArray(sent) ? sent : [];
  } catch {
    return [];
  }
}

// The pad is there while "on the screen" is chosen; it is chosen first unless somebody has chosen.
function follow(pad) {
  const form = pad.closest("form");
  const ways = [...form.querySelectorAll(`input[name="${pad.dataset.how}"]`)];
  const screen = ways.find((way) => way.value === "screen");
  if (!screen) {
    pad.hidden = false;
    return;
  }
  if (!form.querySelector(".errs")) screen.checked = true;
  const turn = () => {
    pad.hidden = !screen.checked;
  };
  for (const way of ways) way.addEventListener("change", turn);
  turn();
}

for (const pad of document.querySelectorAll("[data-sign]")) prepare(pad);
