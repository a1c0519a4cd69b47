/** What is laid side by side of several shots: one row a quantity, one text a shot. */
import { type DisplaySystem, NO_VALUE, type QuantityKind } from '../../../host/units/index.ts';
import type { Latched, Measured, Shot } from '../../../protocol/index.ts';
import { flagText } from './flags.ts';
import { latchedParts, oneLine, resultParts } from './result-text.ts';
import { timeOfDay } from './time-text.ts';

export interface FigureRow {
  readonly name: string;
  readonly texts: readonly string[];
}

type Of<T> = (shot: Shot) => T | undefined;

const RESULTS: readonly (readonly [string, QuantityKind, Of<Measured>])[] = [
  ['Muzzle velocity', 'velocity', (shot) => shot.muzzleVelocityMps],
  ['Mach', 'number', (shot) => shot.mach],
  ['Target velocity', 'velocity', (shot) => shot.targetVelocityMps],
  ['Speed lost', 'velocity', (shot) => shot.velocityLostMps],
  ['Drag coefficient', 'number', (shot) => shot.dragCoefficient],
  ['Time of flight', 'time', (shot) => shot.flightTimeS],
  ['Drop at the target', 'smallLength', (shot) => shot.targetDropM],
  ['Energy at the muzzle', 'energy', (shot) => shot.muzzleEnergyJ],
  ['Blow-down', 'pressure', (shot) => shot.blowDown?.pressureDropPa],
  ['Projectile got, of the energy drawn', 'humidity', (shot) => shot.blowDown?.efficiency],
  ['Speed of sound', 'velocity', (shot) => shot.air.speedOfSoundMps],
  ['Air density', 'density', (shot) => shot.air.densityKgM3],
];
const LATCHED: readonly (readonly [string, QuantityKind, Of<Latched>])[] = [
  ['Fill, absolute', 'pressure', (shot) => shot.reservoirPressurePa],
  ['Barrel, absolute', 'vacuum', (shot) => shot.barrelPressurePa],
  ['Air temperature', 'temperature', (shot) => shot.air.temperatureK],
  ['Air pressure', 'airPressure', (shot) => shot.air.pressurePa],
  ['Humidity', 'humidity', (shot) => shot.air.relativeHumidity],
  ['Tailwind', 'velocity', (shot) => shot.air.tailwindMps],
];

/** Rows in which no shot has anything are left out. */
export function comparedFigures(shots: readonly Shot[], system: DisplaySystem): readonly FigureRow[] {
  const row = (name: string, of: (shot: Shot) => string): FigureRow => ({ name, texts: shots.map(of) });
  const pairs = [...new Set(shots.flatMap((shot) => shot.pairs.map(({ name }) => name)))];
  const rows: readonly FigureRow[] = [
    row('Fired, UTC', ({ firedAt }) => `${firedAt.slice(0, 10)} ${timeOfDay(firedAt)}`),
    row('Projectile', ({ projectile }) => projectile),
    ...RESULTS.slice(0, 3).map(([name, kind, of]) => row(name, (shot) => oneLine(resultParts(of(shot), kind, system)))),
    ...pairs.map((name) =>
      row(`Pair ${name}`, (shot) => oneLine(resultParts(shot.pairs.find((pair) => pair.name === name)?.velocityMps, 'velocity', system))),
    ),
    ...RESULTS.slice(3).map(([name, kind, of]) => row(name, (shot) => oneLine(resultParts(of(shot), kind, system)))),
    ...LATCHED.map(([name, kind, of]) => row(name, (shot) => oneLine(latchedParts(of(shot), kind, system)))),
    row('Flags', ({ flags }) => (flags.length === 0 ? 'none' : flags.map((flag) => flagText(flag).title).join(', '))),
    row('Left out', ({ exclusion }) => (exclusion ? `${exclusion.reason} (${exclusion.who})` : 'no')),
  ];
  return rows.filter(({ texts }) => texts.some((text) => text !== NO_VALUE));
}
