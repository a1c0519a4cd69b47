import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { MapCurve, MapCurvePoint } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { bandText, barrelText } from '../text/map-text.ts';

/** Of a curve so many places are listed: enough to draw it by hand. */
const LISTED = 9;

/** The curves behind the chart, in numbers. */
export function MapCurves({ curves, ambientPa }: { readonly curves: readonly MapCurve[]; readonly ambientPa: number }) {
  return (
    <details>
      <summary>The curves in numbers</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard */}
      <section class="scrolling" tabIndex={0} aria-label="The curves in numbers">
        {curves.map((curve) => (
          <CurveTable key={curve.barrelPressurePa} curve={curve} ambientPa={ambientPa} />
        ))}
      </section>
    </details>
  );
}

function CurveTable({ curve: { barrelPressurePa, stretches }, ambientPa }: { readonly curve: MapCurve; readonly ambientPa: number }) {
  const system = units.value;
  const pressure = (pa: number): string => formatParts(pa, undefined, 'pressure', system).value;
  const { symbol } = DISPLAY.pressure[system];
  return (
    <table>
      <caption>Barrel at {barrelText(barrelPressurePa, system)}</caption>
      <thead>
        <tr>
          <th scope="col">Fill, {symbol} gauge</th>
          <th scope="col">Fill, {symbol} abs.</th>
          <th scope="col">Mean, 95 %</th>
          <th scope="col">Next shot, 95 %</th>
        </tr>
      </thead>
      <tbody>
        {thinned(stretches.flat()).map(({ reservoirPressurePa, mean, nextShot }) => (
          <tr key={reservoirPressurePa}>
            <td class="figures">{pressure(reservoirPressurePa - ambientPa)}</td>
            <td class="figures">{pressure(reservoirPressurePa)}</td>
            <td class="figures">{bandText(mean, system)}</td>
            <td class="figures">{bandText(nextShot, system)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function thinned(points: readonly MapCurvePoint[]): readonly MapCurvePoint[] {
  const count = Math.min(LISTED, points.length);
  return Array.from({ length: count }, (_, i) => points[Math.round((i * (points.length - 1)) / Math.max(count - 1, 1))]).filter(
    (point) => point !== undefined,
  );
}
