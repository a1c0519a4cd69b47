/** Pressure–velocity map and drag curve, from all stored shots of this rig. */
import { dragCurves } from '../../../analysis/drag/index.ts';
import { mapBook } from '../../../analysis/next-shot/index.ts';
import { dragChart, drawChart, mapChart, svgText } from '../../../charts/index.ts';
import { dragLines } from '../../drag/drag-lines.ts';
import { mapLines } from '../../map/map-lines.ts';
import type { ReportFacts } from '../gather.ts';
import { Html, html } from '../html.ts';

const SIZE = { widthPx: 720, frameHeightPx: 330 };

export function curvesSection({ dragShots, mapShots, mapSessions, rig }: ReportFacts): Html {
  const drag = dragCurves(dragShots);
  const { report: map } = mapBook(mapShots, mapSessions);
  return html`<section><h2>Pressure–velocity map</h2>
<p>From all stored shots of ${rig.name}, not of this session alone. It says what the launcher gave; it is no leave to fill.</p>
${map.kinds.map((kind, i) => html`<figure>${new Html(svgText(drawChart(mapChart(kind), { ...SIZE, id: `map-${i}` })))}</figure>`)}
${map.kinds.length === 0 ? html`<p>No shot of which a map can be made.</p>` : html`<pre>${mapLines(map).join('\n')}</pre>`}
<h2>Drag</h2>
<p>From all stored shots of ${rig.name}, each kind of projectile apart; beside it a published smooth sphere.</p>
${drag.kinds.map((kind, i) => html`<figure>${new Html(svgText(drawChart(dragChart(kind), { ...SIZE, id: `drag-${i}` })))}</figure>`)}
${drag.kinds.length === 0 ? html`<p>No shot that tells of the drag.</p>` : html`<pre>${dragLines(drag).join('\n')}</pre>`}
</section>`;
}
