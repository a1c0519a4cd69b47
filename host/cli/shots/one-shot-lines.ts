/** All that is said of one shot, as a person reads it on a terminal. */
import type { Latched, RigSummary, Shot } from '../../../protocol/index.ts';
import { blowDownWords } from '../../pipeline/index.ts';
import { formatWithUncertainty, NO_VALUE, type QuantityKind } from '../../units/index.ts';
import { cameraLines } from '../camera/check-lines.ts';
import { columns } from '../text/columns.ts';
import { massText } from '../text/crew-lines.ts';
import { acceptanceLines } from './acceptance-lines.ts';
import { gateLines } from './gate-lines.ts';
import { flagLines } from './shot-lines.ts';
import { resultsOf } from './shot-results.ts';

/** @param gates  of the rig that fired it, where they are at hand */
export function oneShotLines(shot: Shot, gates: RigSummary['gates'] | undefined): readonly string[] {
  return [
    `Shot ${shot.id}: ${shot.rigName}, ${shot.projectile}`,
    `Fired ${shot.firedAt}, timed by ${shot.firedBy}`,
    `Flags: ${shot.flags.join(', ') || 'none'}`,
    ...(shot.exclusion ? [`Left out of every mean and fit by ${shot.exclusion.who}: ${shot.exclusion.reason}`] : []),
    ...(shot.weighed
      ? [
          `Projectile weighed by ${shot.weighed.who}: ${massText(shot.weighed)} instead of ${massText(shot.weighed.insteadOf)} (${shot.weighed.reason})`,
        ]
      : []),
    ...flagLines([shot]),
    ...(shot.calibrationOverdue ? [`Calibration past its date: ${shot.calibrationOverdue.join(', ')}`] : []),
    '',
    ...resultLines(shot),
    '',
    ...latchedLines(shot),
    '',
    ...(shot.acceptance ? [...acceptanceLines(shot.acceptance), ''] : []),
    ...(shot.blowDown ? [blowDownWords(shot.blowDown, shot.firedBy), ''] : []),
    ...gateLines(shot, gates),
    ...(shot.cameras ?? []).flatMap((camera) => ['', ...cameraLines(camera)]),
  ];
}

function resultLines(shot: Shot): readonly string[] {
  const rows = resultsOf(shot).map(({ name, title, kind, result }) => [
    title,
    result ? formatWithUncertainty(result.value, result.expandedUncertainty, kind, 'SI') : NO_VALUE,
    result ? `--of ${name}` : '',
  ]);
  return columns(['Result', 'Value ± 95 %', 'Its budget'], rows);
}

function latchedLines({ air, reservoirPressurePa, reservoirTemperatureK, barrelPressurePa }: Shot): readonly string[] {
  const values: readonly (readonly [string, QuantityKind, Latched | undefined])[] = [
    ['Reservoir, absolute', 'pressure', reservoirPressurePa],
    ['Reservoir gas', 'temperature', reservoirTemperatureK],
    ['Barrel, absolute', 'vacuum', barrelPressurePa],
    ['Air', 'temperature', air.temperatureK],
    ['Air, absolute', 'airPressure', air.pressurePa],
    ['Humidity', 'humidity', air.relativeHumidity],
    ['Wind from behind', 'velocity', air.tailwindMps],
  ];
  const rows = values.flatMap(([title, kind, latched]) => (latched ? [latchedRow(title, kind, latched)] : []));
  return columns(['At the firing', 'Value ± 95 %', 'From'], rows);
}

/** Of a latched value only the standard uncertainty is known: doubled, for 95 % of a normal distribution. */
function latchedRow(title: string, kind: QuantityKind, { value, standardUncertainty, origin, ageS }: Latched): readonly string[] {
  return [
    title,
    formatWithUncertainty(value, 2 * standardUncertainty, kind, 'SI'),
    origin === 'assumed' ? 'assumed, not measured' : `measured ${ageS.toFixed(1)} s before`,
  ];
}
