// What is slid along by pointer and by keys: a slider for the keyboard and for a screen reader.

// slide makes a node that is slid along by pointer and keys. at(px) and by(key, shift) give the new value.
export function slide(node, name, { to, step }) {
  node.tabIndex = 0;
  node.setAttribute("role", "slider");
  node.setAttribute("aria-label", name);
  node.classList.add("scale");
  const go = (e) => to(e.clientX - node.getBoundingClientRect().left);
  node.addEventListener("pointerdown", (e) => {
    if (e.button !== 0) return;
    node.setPointerCapture(e.pointerId);
    node.focus({ preventScroll: true });
    go(e);
  });
  node.addEventListener("pointermove", (e) => node.hasPointerCapture(e.pointerId) && go(e));
  node.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (step(e.key, e.shiftKey)) {
      e.preventDefault();
      e.stopPropagation();
    }
  });
}
