/** A drawing as plain values, so that a file and a page draw the same: svgText writes it, a page makes elements of it. */

export interface SvgNode {
  readonly tag: string;
  readonly attributes: Readonly<Record<string, string | number>>;
  readonly children: readonly (SvgNode | string)[];
}

export const node = (tag: string, attributes: SvgNode['attributes'], ...children: readonly (SvgNode | string)[]): SvgNode => ({
  tag,
  attributes,
  children,
});

/** A place in a drawing, px to a hundredth: more digits are only longer. */
export const px = (value: number): number => Math.round(value * 100) / 100;

/** The drawing as SVG 1.1 text that is well-formed XML whatever its names and labels hold. */
export function svgText({ tag, attributes, children }: SvgNode): string {
  const given = Object.entries(attributes).map(([name, value]) => ` ${name}="${escaped(String(value))}"`);
  const inside = children.map((child) => (typeof child === 'string' ? escaped(child) : svgText(child)));
  return inside.length === 0 ? `<${tag}${given.join('')}/>` : `<${tag}${given.join('')}>${inside.join('')}</${tag}>`;
}

/** XML has no way to write most control characters or half a surrogate pair; they are shown as what cannot be shown. */
const UNFIT = /[^\P{Cc}\t\n\r]|\ufffe|\uffff|\p{Cs}/gu;
const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

const escaped = (text: string): string => text.replace(UNFIT, '\ufffd').replace(/[&<>"']/g, (character) => ENTITIES[character] as string);
