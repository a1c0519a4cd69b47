/** The results of a shot, each by a short name that a command takes and a title for a person. */
import type { Result, Shot } from '../../../protocol/index.ts';
import type { QuantityKind } from '../../units/index.ts';

export interface NamedResult {
  readonly name: string;
  readonly title: string;
  readonly kind: QuantityKind;
  /** undefined where the shot has none. */
  readonly result: Result | undefined;
}

const NAMED: readonly (readonly [name: string, title: string, kind: QuantityKind, of: (shot: Shot) => Result | undefined])[] = [
  ['muzzle', 'Muzzle velocity', 'velocity', (shot) => shot.muzzleVelocityMps],
  ['target', 'Target velocity', 'velocity', (shot) => shot.targetVelocityMps],
  ['lost', 'Speed lost to the target', 'velocity', (shot) => shot.velocityLostMps],
  ['mach', 'Mach', 'number', (shot) => shot.mach],
  ['flight-time', 'Time of flight to the target', 'time', (shot) => shot.flightTimeS],
  ['drop', 'Drop at the target', 'smallLength', (shot) => shot.targetDropM],
  ['drag', 'Drag coefficient', 'number', (shot) => shot.dragCoefficient],
  ['drag-mach', 'Mach of the drag coefficient', 'number', (shot) => shot.dragMach],
  ['drag-reynolds', 'Reynolds number of the drag coefficient', 'number', (shot) => shot.dragReynolds],
  ['muzzle-energy', 'Energy at the muzzle', 'energy', (shot) => shot.muzzleEnergyJ],
  ['target-energy', 'Energy at the target', 'energy', (shot) => shot.targetEnergyJ],
  ['muzzle-momentum', 'Momentum at the muzzle', 'momentum', (shot) => shot.muzzleMomentumNs],
  ['target-momentum', 'Momentum at the target', 'momentum', (shot) => shot.targetMomentumNs],
  ['energy-drawn', 'Energy drawn from the reservoir', 'energy', (shot) => shot.blowDown?.energyDrawnJ],
  ['efficiency', 'Share of it that the projectile got', 'humidity', (shot) => shot.blowDown?.efficiency],
  ['speed-of-sound', 'Speed of sound', 'velocity', (shot) => shot.air.speedOfSoundMps],
  ['density', 'Density of the air', 'density', (shot) => shot.air.densityKgM3],
];

const PAIR = 'pair-';

/** What any shot may have, for a help text: pairs are named by the rig file. */
export const RESULT_NAMES: readonly string[] = [...NAMED.map(([name]) => name), `${PAIR}NAME`];

/** Whether a shot may have a result of this name. */
export const isResultName = (name: string): boolean => name.startsWith(PAIR) || NAMED.some(([known]) => known === name);

/** All of them, those that this shot lacks too; pairs last. */
export function resultsOf(shot: Shot): readonly NamedResult[] {
  return [
    ...NAMED.map(([name, title, kind, of]) => ({ name, title, kind, result: of(shot) })),
    ...shot.pairs.map(({ name, gates, velocityMps }) => ({
      name: `${PAIR}${name}`,
      title: `Velocity of pair ${name} (${gates.join('–')})`,
      kind: 'velocity' as const,
      result: velocityMps,
    })),
  ];
}
