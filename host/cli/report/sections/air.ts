/** The air at each shot. */
import type { Latched } from '../../../../protocol/index.ts';
import { type DisplaySystem, formatWithUncertainty, type QuantityKind } from '../../../units/index.ts';
import type { ReportFacts } from '../gather.ts';
import { type Html, html, table } from '../html.ts';
import { resultText } from './summary.ts';

export function airSection({ shots }: ReportFacts, system: DisplaySystem): Html {
  const text = ({ value, standardUncertainty, origin }: Latched, kind: QuantityKind): string =>
    `${formatWithUncertainty(value, 2 * standardUncertainty, kind, system)}${origin === 'assumed' ? ' (assumed)' : ''}`;
  const rows = shots.map(({ number, air }) => [
    String(number),
    text(air.temperatureK, 'temperature'),
    text(air.pressurePa, 'airPressure'),
    text(air.relativeHumidity, 'humidity'),
    text(air.tailwindMps, 'velocity'),
    resultText(air.speedOfSoundMps, 'velocity', system),
    resultText(air.densityKgM3, 'density', system),
  ]);
  const head = ['Shot', 'Temperature', 'Pressure', 'Humidity', 'Wind from behind', 'Speed of sound', 'Density'];
  return html`<section><h2>Air</h2>${rows.length === 0 ? html`<p>No shot.</p>` : html`${table(head, rows, 'At the firing; ± 95 %')}`}</section>`;
}
