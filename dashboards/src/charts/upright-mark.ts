/** An upright line across a plot, with a word above it: the plot needs 16 px of padding there. */
import type uPlot from 'uplot';
import { CHART_FONT } from './palette.ts';

export interface UprightMark {
  readonly at: number;
  readonly label: string;
  readonly colour: string;
  readonly dash: readonly number[];
}

export function drawMarks(plot: uPlot, marks: readonly UprightMark[]): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  ctx.save();
  ctx.font = CHART_FONT.replace('13px', `${12 * ratio}px`);
  ctx.textBaseline = 'top';
  ctx.textAlign = 'left';
  let labelFree = Number.NEGATIVE_INFINITY;
  for (const mark of [...marks].sort((a, b) => a.at - b.at)) {
    const x = plot.valToPos(mark.at, 'x', true);
    if (x < bbox.left || x > bbox.left + bbox.width) continue;
    ctx.strokeStyle = mark.colour;
    ctx.fillStyle = mark.colour;
    ctx.lineWidth = ratio;
    ctx.setLineDash(mark.dash.map((length) => length * ratio));
    ctx.beginPath();
    ctx.moveTo(x, bbox.top);
    ctx.lineTo(x, bbox.top + bbox.height);
    ctx.stroke();
    const width = ctx.measureText(mark.label).width;
    // A label that would lie on the one before it is left out: the line still stands.
    if (x < labelFree || x + width > bbox.left + bbox.width + 8 * ratio) continue;
    ctx.fillText(mark.label, x - 3 * ratio, bbox.top - 15 * ratio);
    labelFree = x + width + 3 * ratio;
  }
  ctx.restore();
}
