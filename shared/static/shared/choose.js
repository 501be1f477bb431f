// A photo that was just sent joins those to choose from, and is chosen: the newest is meant.

const list = document.querySelector("[data-choose]");
const strip = document.querySelector("[data-shots]");

function offer(shot) {
  const number = shot.querySelector("a[href]").getAttribute("href").match(/(\d+)\/$/)[1];
  const input = document.createElement("input");
  Object.assign(input, { type: "radio", name: list.dataset.choose, value: number, checked: true });
  const label = document.createElement("label");
  label.className = "pick";
  const words = document.createElement("span");
  words.append(shot.querySelector("img").cloneNode());
  label.append(input, words);
  const row = document.createElement("li");
  row.append(label);
  list.prepend(row);
  document.querySelector("[data-choose-none]")?.remove();
}

new MutationObserver((changes) => {
  for (const shot of changes.flatMap((change) => [...change.addedNodes])) {
    if (shot.nodeType === Node.ELEMENT_NODE) offer(shot);
  }
}).observe(strip, { childList: true });
