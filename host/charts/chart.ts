/** What a chart shows, apart from how it is drawn. Numbers are in the units that the axes name. */

export interface Axis {
  /** What it is, such as `Mach number`. */
  readonly label: string;
  /** Such as `m/s`; empty for a plain number. */
  readonly unit: string;
  /** The span shown; left out, that of all layers and a little more. */
  readonly span?: readonly [from: number, to: number];
  /** What no value can be below, such as 0 of an absolute pressure: a span that is found ends there. */
  readonly least?: number;
  /** Equal steps are equal ratios, marked at 1, 2 and 5 of each decade. All values are above zero. */
  readonly logarithmic?: boolean;
}

/** One of a few ways to be drawn, by number from 0: each has a colour, a dash and a mark, told apart without colour too. */
export type Look = number;

export interface ChartPoint {
  readonly x: number;
  readonly y: number;
  /** Half-widths of error bars; left out, none is drawn. */
  readonly xHalf?: number;
  readonly yHalf?: number;
  /** Shown on pointing at it, such as the shot's name and numbers. */
  readonly title?: string;
}

interface LayerBase {
  /** As the key tells it; without a name it is not in the key. */
  readonly name?: string;
  readonly look: Look;
}

/** Between two curves. */
export interface BandLayer extends LayerBase {
  readonly kind: 'band';
  readonly points: readonly { readonly x: number; readonly low: number; readonly high: number }[];
}
export interface LineLayer extends LayerBase {
  readonly kind: 'line';
  readonly points: readonly { readonly x: number; readonly y: number }[];
}
export interface PointLayer extends LayerBase {
  readonly kind: 'points';
  /** Drawn hollow: shown, and not counted. */
  readonly hollow?: boolean;
  readonly points: readonly ChartPoint[];
}
/** A value across the whole chart, such as a limit. */
export interface RuleLayer extends LayerBase {
  readonly kind: 'rule';
  readonly axis: 'x' | 'y';
  readonly at: number;
  /** Of one on the x axis, written at its upper end, such as a gate's name. */
  readonly label?: string;
}
export type Layer = BandLayer | LineLayer | PointLayer | RuleLayer;

export interface Chart {
  readonly title: string;
  /** What is to be seen, in a sentence, for those who cannot see it. */
  readonly description: string;
  readonly x: Axis;
  readonly y: Axis;
  /** The first lies below the others. Values that are not finite are gaps. */
  readonly layers: readonly Layer[];
}
