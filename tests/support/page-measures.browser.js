/** Runs in the browser: what `page-measures.ts` asks. */
const measures = (() => {
  const PRESSED = 'button, a[href], select, input, textarea, summary, [role=button]';
  const isShown = (element) => element.checkVisibility({ visibilityProperty: true });
  const nameOf = (element) => `${element.tagName} ${(element.getAttribute('aria-label') ?? element.textContent ?? '').trim().slice(0, 40)}`;

  /** A control that lies within its label is hit by the label. Half a px is what zooming rounds by. */
  function smallTargets(leastPx) {
    return [...document.querySelectorAll(PRESSED)].filter(isShown).flatMap((element) => {
      const [own, label] = [element, element.closest('label') ?? element].map((each) => each.getBoundingClientRect());
      const [width, height] = [Math.max(own.width, label.width), Math.max(own.height, label.height)];
      return Math.min(width, height) < leastPx - 0.5 ? [`${nameOf(element)}: ${width} × ${height}`] : [];
    });
  }

  /** Big text that is wider than the block that it stands in. */
  function spilled(selectors) {
    return [...document.querySelectorAll(selectors)].filter(isShown).flatMap((element) => {
      const block = element.closest('.wall > *, .panel, .signs > *');
      const text = document.createRange();
      text.selectNodeContents(element);
      const [inner, outer] = [text.getBoundingClientRect(), block?.getBoundingClientRect()];
      return outer && inner.right > outer.right ? [`${nameOf(element)}: ${inner.right} beyond ${outer.right}`] : [];
    });
  }

  const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });

  /** Of any colour that a style may name, color-mix among it, as the browser paints it. */
  function rgba(colour) {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = colour;
    canvas.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = canvas.getImageData(0, 0, 1, 1).data;
    return [r, g, b, a / 255];
  }

  const over = (top, below) => [0, 1, 2].map((part) => top[3] * top[part] + (1 - top[3]) * below[part]).concat(1);

  function behind(element) {
    if (!element) return [255, 255, 255, 1];
    const own = rgba(getComputedStyle(element).backgroundColor);
    return own[3] >= 1 ? own : over(own, behind(element.parentElement));
  }

  /** Relative luminance, WCAG 2.2. */
  function light(colour) {
    const [r, g, b] = colour.slice(0, 3).map((part) => {
      const value = part / 255;
      return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  }

  function contrastBelow(selectors, least) {
    const found = selectors.flatMap((selector) =>
      [...document.querySelectorAll(selector)]
        .filter((element) => (element.textContent ?? '').trim() !== '' && isShown(element))
        .map((element) => {
          const paper = behind(element);
          const [ink, ground] = [light(over(rgba(getComputedStyle(element).color), paper)), light(paper)];
          return { name: `${selector} ${nameOf(element)}`, ratio: (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05) };
        }),
    );
    const below = found.filter(({ ratio }) => ratio < least).map(({ name, ratio }) => `${name}: ${ratio.toFixed(2)}`);
    return { below, measured: found.length };
  }

  let reached = new Set();
  let unseen = new Set();

  function beginWalk() {
    reached = new Set();
    unseen = new Set();
    // Tab goes on from where was last pressed, unless something before it all has the focus.
    document.body.tabIndex = -1;
    document.body.focus();
    document.body.removeAttribute('tabindex');
  }

  /** @returns false once it has come round */
  function walked() {
    const element = document.activeElement;
    if (!element || element === document.body || reached.has(element)) return false;
    reached.add(element);
    const isSeen = [element, element.closest('label')].some((each) => {
      if (!each) return false;
      const { outlineStyle, outlineWidth } = getComputedStyle(each);
      return outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2;
    });
    if (!isSeen) unseen.add(nameOf(element));
    return true;
  }

  function endWalk() {
    // A group of choices is one stop.
    const groups = new Set([...reached].flatMap((each) => (each.type === 'radio' ? [each.name] : [])));
    const missed = [...document.querySelectorAll(`${PRESSED}, [tabindex="0"]`)]
      .filter(
        (each) => !reached.has(each) && !each.matches(':disabled') && isShown(each) && !(each.type === 'radio' && groups.has(each.name)),
      )
      .map(nameOf);
    return { missed, unseen: [...unseen] };
  }

  return { smallTargets, spilled, contrastBelow, beginWalk, walked, endWalk };
})();
globalThis.measures = measures;
