import { h, type VNode } from 'preact';
import type { SvgNode } from '../../../host/charts/index.ts';

/** A drawing of plain values as elements of the page. */
export const svgElement = ({ tag, attributes, children }: SvgNode): VNode =>
  h(tag, attributes, ...children.map((child) => (typeof child === 'string' ? child : svgElement(child))));
