/** A chart of plain values as elements of the page, as wide as its place. */
import { h, type VNode } from 'preact';
import { type Chart, drawChart, type SvgNode } from '../../../host/charts/index.ts';
import { useWidth } from '../components/use-width.ts';

export interface ChartDrawingProps {
  readonly chart: Chart;
  /** Unique in the page. */
  readonly id: string;
}

const WIDTH_PX_MIN = 240;
const FRAME_PX = { narrow: 280, wide: 400 };
const NARROW_PX = 560;

export function ChartDrawing({ chart, id }: ChartDrawingProps) {
  const { element, widthPx } = useWidth();
  return (
    <div ref={element} class="chart-place">
      {widthPx > 0 &&
        elementOf(
          drawChart(chart, {
            widthPx: Math.max(widthPx, WIDTH_PX_MIN),
            frameHeightPx: widthPx < NARROW_PX ? FRAME_PX.narrow : FRAME_PX.wide,
            id,
          }),
        )}
    </div>
  );
}

const elementOf = ({ tag, attributes, children }: SvgNode): VNode =>
  h(tag, attributes, ...children.map((child) => (typeof child === 'string' ? child : elementOf(child))));
