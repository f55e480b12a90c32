// The engine in the hand: turned by its crank, moved, brought nearer, pointed at.

// takeInHand gives the picture to the pointer: on a crank it turns the engine, elsewhere it moves the sheet; a touch without a
// way points.
export function takeInHand(picture, onPoint, onCrank) {
  const fingers = new Map();
  let held;
  // Where the pointer is on the sheet: what it is over may be any outline.
  const place = (e) => {
    const r = picture.box.getBoundingClientRect();
    return { x: e.clientX - r.left, y: e.clientY - r.top };
  };
  picture.box.addEventListener("pointerdown", (e) => {
    if (e.button !== 0) return;
    const { x, y } = place(e);
    fingers.set(e.pointerId, [x, y]);
    picture.box.setPointerCapture(e.pointerId);
    const profile = e.target.dataset?.profile;
    const part = profile !== undefined ? picture.scene.profiles.find((p) => p.index === +profile)?.part : undefined;
    held = { profile, part, moved: 0, crank: part !== undefined ? picture.hands[part] : undefined };
    if (held.crank) {
      picture.motion.stand(picture.turn);
      const row = picture.scene.parts[part].row;
      [held.crank.x, held.crank.y] = [picture.motion.now[4 * row], picture.motion.now[4 * row + 1]];
      held.angle = heading(picture, x, y, held.crank);
    }
  });
  picture.box.addEventListener("pointermove", (e) => {
    if (!held || !fingers.has(e.pointerId)) return;
    const was = fingers.get(e.pointerId);
    const { x, y } = place(e);
    fingers.set(e.pointerId, [x, y]);
    held.moved += Math.hypot(x - was[0], y - was[1]);
    if (held.moved < 4) return;
    if (fingers.size === 2) {
      const [a, b] = fingers.values();
      const other = [...fingers.entries()].find(([id]) => id !== e.pointerId)[1];
      const before = Math.hypot(was[0] - other[0], was[1] - other[1]);
      picture.zoom(Math.hypot(a[0] - b[0], a[1] - b[1]) / (before || 1), (a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
    } else if (held.crank) {
      const angle = heading(picture, x, y, held.crank);
      const by = ((angle - held.angle + 540) % 360) - 180;
      held.angle = angle;
      onCrank(by * held.crank.way);
    } else picture.pan(x - was[0], y - was[1]);
  });
  const up = (e) => {
    fingers.delete(e.pointerId);
    if (held && held.moved < 4 && e.type === "pointerup") onPoint(held.profile === undefined ? undefined : +held.profile);
    if (fingers.size === 0) held = undefined;
  };
  picture.box.addEventListener("pointerup", up);
  picture.box.addEventListener("pointercancel", up);
  picture.box.addEventListener("wheel", (e) => {
    e.preventDefault();
    const { x, y } = place(e);
    picture.zoom(Math.exp(-e.deltaY / (e.deltaMode ? 20 : 400)), x, y);
  }, { passive: false });
}

// heading is that of the pointer from a place of the engine, degrees.
function heading(picture, x, y, about) {
  const [px, py] = picture.on(about.x, about.y);
  return (Math.atan2(py - y, x - px) * 180) / Math.PI;
}
