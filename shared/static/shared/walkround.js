// A touch on the drawing of a car says where a mark goes: its point, and the part that lies there.
// Without script, and with the keyboard, the part is chosen from the list.

const WIDTH = 1000;
const HEIGHT = 700;

function prepare(drawing) {
  const form = document.getElementById("place");
  const part = form.elements.area;
  const here = drawing.querySelector(".c-here");

  function show() {
    const placed = form.elements.x.value !== "";
    here.setAttribute("cx", placed ? form.elements.x.value : -100);
    here.setAttribute("cy", placed ? form.elements.y.value : -100);
  }

  drawing.addEventListener("click", (event) => {
    const touched = event.target.dataset.part;
    if (touched === undefined) return;
    const frame = drawing.getBoundingClientRect();
    form.elements.x.value = Math.round(((event.clientX - frame.left) / frame.width) * WIDTH);
    form.elements.y.value = Math.round(((event.clientY - frame.top) / frame.height) * HEIGHT);
    part.value = touched;
    show();
    const kind = form.querySelector("input[name=kind]:checked");
    (kind || form.querySelector("input[name=kind]")).focus({ preventScroll: true });
    form.scrollIntoView({ block: "nearest" });
  });
  // A part chosen by hand counts instead of the point.
  part.addEventListener("change", () => {
    form.elements.x.value = "";
    form.elements.y.value = "";
    show();
  });
  show();
}

for (const drawing of document.querySelectorAll("[data-car]")) prepare(drawing);
