/* Which targets of the page are too small to be tapped, with their sizes: by WCAG 2.5.8, with its
   exceptions for links in sentences and for targets that lie apart from all others. Buttons and
   levels are held to 44 px. */
() => {
  const LEAST = 24;
  const TOUCH = 44;
  const ROUNDING = 0.5;
  const TOUCHED = ".button, .scale .point, .choices label";

  const labelled = (control) => control.matches("[type=radio], [type=checkbox]");
  const boxOf = (control) => {
    const parts = [control, ...(labelled(control) ? control.labels : [])];
    const boxes = parts.map((part) => part.getBoundingClientRect());
    const left = Math.min(...boxes.map((box) => box.left));
    const top = Math.min(...boxes.map((box) => box.top));
    const right = Math.max(...boxes.map((box) => box.right));
    const bottom = Math.max(...boxes.map((box) => box.bottom));
    return { left, top, right, bottom, width: right - left, height: bottom - top };
  };
  const targets = [...document.querySelectorAll("a[href], button, input, select, textarea, summary")]
    .filter((control) => control.type !== "hidden" && !control.matches(".skip"))
    .filter((control) => control.checkVisibility({ visibilityProperty: true }))
    .map((control) => ({ control, box: boxOf(control) }));

  const isSmall = ({ box }) => Math.min(box.width, box.height) < LEAST - ROUNDING;
  const isInSentence = ({ control }) =>
    control.matches("a") &&
    getComputedStyle(control).display === "inline" &&
    control.parentElement.textContent.trim().length > control.textContent.trim().length;
  const centre = ({ box }) => [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
  const farFrom = (one, other) => {
    const [x, y] = centre(one);
    if (isSmall(other)) {
      const [u, v] = centre(other);
      return Math.hypot(x - u, y - v) >= LEAST - ROUNDING;
    }
    const across = Math.max(other.box.left - x, 0, x - other.box.right);
    const down = Math.max(other.box.top - y, 0, y - other.box.bottom);
    return Math.hypot(across, down) >= LEAST / 2 - ROUNDING;
  };
  const liesApart = (one) => targets.every((other) => other === one || farFrom(one, other));
  const fails = (target) =>
    target.control.matches(TOUCHED)
      ? Math.min(target.box.width, target.box.height) < TOUCH - ROUNDING
      : isSmall(target) && !isInSentence(target) && !liesApart(target);

  return targets.filter(fails).map(({ control, box }) => {
    const name = control.name || control.textContent.trim().slice(0, 30);
    return `${control.tagName} ${name}: ${box.width.toFixed(0)} by ${box.height.toFixed(0)} px`;
  });
};
