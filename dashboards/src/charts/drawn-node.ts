/**
 * A drawing that stands on the page as plain values, with the colours and strokes that the page's style sheet gives it:
 * what is saved of it needs no style sheet.
 */
import { node, type SvgNode } from '../../../host/charts/index.ts';

const STYLES = [
  ...['fill', 'fill-opacity', 'stroke', 'stroke-width', 'stroke-dasharray', 'stroke-opacity'],
  ...['opacity', 'font-size', 'font-weight', 'font-family', 'text-anchor'],
] as const;
const TITLE_PX = 28;

/** @param element  on the page now @param title  written above it */
export function drawnNode(element: SVGSVGElement, title: string): SvgNode {
  const { width, height } = element.viewBox.baseVal;
  const page = getComputedStyle(document.documentElement);
  const heightPx = height + TITLE_PX;
  return node(
    'svg',
    { xmlns: 'http://www.w3.org/2000/svg', width, height: heightPx, viewBox: `0 ${-TITLE_PX} ${width} ${heightPx}` },
    node('title', {}, title),
    node('rect', { x: 0, y: -TITLE_PX, width, height: heightPx, fill: page.getPropertyValue('--sheet').trim() }),
    node(
      'text',
      {
        x: 6,
        y: 18 - TITLE_PX,
        'font-size': 14,
        'font-weight': 600,
        'font-family': 'system-ui, sans-serif',
        fill: page.getPropertyValue('--ink').trim(),
      },
      title,
    ),
    ...[...element.children].map(styled),
  );
}

function styled(element: Element): SvgNode {
  const own = [...element.attributes].filter(({ name }) => name !== 'class' && name !== 'style');
  const style = getComputedStyle(element);
  const given = STYLES.map((name) => [name, style.getPropertyValue(name)] as const).filter(
    ([, value]) => value !== '' && value !== 'normal',
  );
  const children = [...element.childNodes].flatMap((child): readonly (SvgNode | string)[] =>
    child instanceof Element ? [styled(child)] : child.nodeType === Node.TEXT_NODE ? [child.textContent ?? ''] : [],
  );
  return node(
    element.tagName,
    { ...Object.fromEntries(own.map(({ name, value }) => [name, value])), ...Object.fromEntries(given) },
    ...children,
  );
}
