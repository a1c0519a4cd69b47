/** A chart of plain values as elements of the page, as wide as its place; below it its numbers, and the way to a file. */
import { type Chart, drawChart } from '../../../host/charts/index.ts';
import { ChartTable } from '../components/chart-table.tsx';
import { SavePicture } from '../components/save-picture.tsx';
import { useWidth } from '../components/use-width.ts';
import { svgElement } from './svg-element.ts';

export interface ChartDrawingProps {
  readonly chart: Chart;
  /** Unique in the page. */
  readonly id: string;
  /** Of the frame with the curves in it, px; left out, that of a chart which is all of a page. */
  readonly framePx?: number;
  /** Where the page has the numbers in tables of its own. */
  readonly hasTable?: boolean;
}

const WIDTH_PX_MIN = 240;
const FRAME_PX = { narrow: 280, wide: 400 };
const NARROW_PX = 560;
const FILE = { widthPx: 960, frameHeightPx: 460, id: 'saved' };

export function ChartDrawing({ chart, id, framePx, hasTable = false }: ChartDrawingProps) {
  const { element, widthPx } = useWidth();
  const frameHeightPx = framePx ?? (widthPx < NARROW_PX ? FRAME_PX.narrow : FRAME_PX.wide);
  return (
    <>
      <div ref={element} class="chart-place">
        {widthPx > 0 && svgElement(drawChart(chart, { widthPx: Math.max(widthPx, WIDTH_PX_MIN), frameHeightPx, id }))}
      </div>
      <div class="picture-foot">
        {!hasTable && <ChartTable chart={() => chart} />}
        <SavePicture title={chart.title} drawing={() => drawChart(chart, FILE)} />
      </div>
    </>
  );
}
