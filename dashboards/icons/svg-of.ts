import { type Shape, SIDE } from './range-mark.ts';

/** @param title  for whoever cannot see it */
export function svgOf(shapes: readonly Shape[], title: string): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${SIDE} ${SIDE}"><title>${title}</title>${shapes.map(element).join('')}</svg>\n`;
}

function element(shape: Shape): string {
  if (shape.kind === 'disc') return `<circle cx="${n(shape.cx)}" cy="${n(shape.cy)}" r="${n(shape.r)}" fill="${shape.fill}"/>`;
  const { x, y, width, height, fill } = shape;
  return `<rect x="${n(x)}" y="${n(y)}" width="${n(width)}" height="${n(height)}" fill="${fill}"/>`;
}

const n = (value: number): string => String(+value.toFixed(2));
