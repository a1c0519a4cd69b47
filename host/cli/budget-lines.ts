/** Where a result's uncertainty comes from, as a table on a terminal. */
import type { Result, Shot } from '../../protocol/index.ts';
import { columns } from './columns.ts';

interface NamedResult {
  /** As `--of` takes it. */
  readonly name: string;
  readonly title: string;
  readonly result: Result | undefined;
}

type Row = readonly [name: string, title: string, of: (shot: Shot) => Result | undefined];

const SPEEDS: readonly Row[] = [
  ['muzzle', 'Muzzle velocity', (shot) => shot.muzzleVelocityMps],
  ['target', 'Target velocity', (shot) => shot.targetVelocityMps],
  ['lost', 'Speed lost', (shot) => shot.velocityLostMps],
];
const OTHERS: readonly Row[] = [
  ['mach', 'Mach', (shot) => shot.mach],
  ['drag', 'Drag coefficient', (shot) => shot.dragCoefficient],
  ['drag-mach', 'Mach of the drag coefficient', (shot) => shot.dragMach],
  ['drag-reynolds', 'Reynolds number of it', (shot) => shot.dragReynolds],
  ['muzzle-energy', 'Energy at the muzzle', (shot) => shot.muzzleEnergyJ],
  ['target-energy', 'Energy at the target', (shot) => shot.targetEnergyJ],
  ['muzzle-momentum', 'Momentum at the muzzle', (shot) => shot.muzzleMomentumNs],
  ['target-momentum', 'Momentum at the target', (shot) => shot.targetMomentumNs],
  ['flight-time', 'Time of flight to the target', (shot) => shot.flightTimeS],
  ['drop', 'Drop at the target', (shot) => shot.targetDropM],
  ['speed-of-sound', 'Speed of sound', (shot) => shot.air.speedOfSoundMps],
  ['density', 'Density of the air', (shot) => shot.air.densityKgM3],
];

/** For the help: a pair goes by its own name. */
export const RESULT_NAMES: readonly string[] = [...SPEEDS.map(([name]) => name), 'pair-NAME', ...OTHERS.map(([name]) => name)];

/** All that a shot has a budget of. */
export function resultsOf(shot: Shot): readonly NamedResult[] {
  const named = ([name, title, of]: Row): NamedResult => ({ name, title, result: of(shot) });
  const pairs = shot.pairs.map((pair) => ({ name: `pair-${pair.name}`, title: `Velocity of pair ${pair.name}`, result: pair.velocityMps }));
  return [...SPEEDS.map(named), ...pairs, ...OTHERS.map(named)];
}

export function budgetLines(title: string, result: Result): readonly string[] {
  const unit = result.unit === '1' ? '' : ` ${result.unit}`;
  const rows = result.budget.map((line) => [
    line.input,
    `${number(line.value, 6)}${line.unit === '1' ? '' : ` ${line.unit}`}`,
    number(line.standardUncertainty, 2),
    number(line.sensitivity, 3),
    number(line.contribution, 2),
    `${((line.contribution / result.standardUncertainty) ** 2 * 100).toFixed(1)} %`,
  ]);
  return [
    `${title}: ${number(result.value, 7)}${unit}, u = ${number(result.standardUncertainty, 2)}${unit} (k = 1), U = ${number(result.expandedUncertainty, 2)}${unit} (95 %, k = ${result.coverageFactor.toFixed(2)})`,
    '',
    ...columns(['Term', 'Value', 'u (k = 1)', 'Sensitivity', `Contribution${unit}`, 'Share'], rows),
    '',
    result.advice,
  ];
}

const number = (value: number, digits: number): string => String(Number(value.toPrecision(digits)));
