/** Shots as a person reads them on a terminal. */
import type { Result, Shot } from '../../../protocol/index.ts';
import { formatValue, formatWithUncertainty } from '../../units/index.ts';
import { cameraOnly } from '../camera/camera-speed.ts';
import { columns } from '../text/columns.ts';
import { type Cell, csvLine } from '../text/csv.ts';

const velocityText = (result: Result | undefined): string =>
  result ? `${formatWithUncertainty(result.value, result.expandedUncertainty, 'velocity', 'SI')}` : '–';

/** Where the gates gave none, what a camera alone has. */
function muzzleText(shot: Shot): string {
  const seen = cameraOnly(shot);
  return seen ? `${velocityText(seen.datumVelocityMps)} (camera ${seen.camera} only)` : velocityText(shot.muzzleVelocityMps);
}

/** One line as a shot comes in; ± is the 95 % expanded uncertainty. */
export function shotLine(shot: Shot): string {
  const mach = shot.mach ? `Mach ${shot.mach.value.toFixed(3)}` : 'Mach –';
  const fill = shot.reservoirPressurePa ? formatValue(shot.reservoirPressurePa.value, 'pressure', 'SI') : '–';
  const flags = shot.flags.length > 0 ? `  [${shot.flags.join(', ')}]` : '';
  return `Shot ${shot.number}  ${shot.firedAt}  muzzle ${muzzleText(shot)}  ${mach}  target ${velocityText(shot.targetVelocityMps)}  fill ${fill} absolute${flags}`;
}

const COLUMNS: readonly (readonly [title: string, cell: (shot: Shot) => string])[] = [
  ['Shot', (shot) => shot.id],
  ['Fired (UTC)', (shot) => shot.firedAt.slice(0, 23).replace('T', ' ')],
  ['Fill, abs', (shot) => (shot.reservoirPressurePa ? formatValue(shot.reservoirPressurePa.value, 'pressure', 'SI') : '–')],
  ['Barrel, abs', (shot) => (shot.barrelPressurePa ? formatValue(shot.barrelPressurePa.value, 'vacuum', 'SI') : '–')],
  ['Muzzle', muzzleText],
  ['Mach', (shot) => (shot.mach ? shot.mach.value.toFixed(3) : '–')],
  ['Target', (shot) => velocityText(shot.targetVelocityMps)],
  ['Flags', (shot) => shot.flags.join(' ')],
];

const LEFT_OUT: (typeof COLUMNS)[number] = ['Left out', ({ exclusion }) => (exclusion ? `${exclusion.reason} (${exclusion.who})` : '')];

const VERDICT: (typeof COLUMNS)[number] = ['Asked', ({ acceptance }) => acceptance?.verdict ?? ''];

/** With columns of what was asked and of those that the crew left out, where there are any. */
export function shotTable(shots: readonly Shot[]): readonly string[] {
  const asked = shots.some(({ acceptance }) => acceptance) ? [VERDICT] : [];
  const leftOut = shots.some(({ exclusion }) => exclusion) ? [LEFT_OUT] : [];
  const all = [...COLUMNS, ...asked, ...leftOut];
  return columns(
    all.map(([title]) => title),
    shots.map((shot) => all.map(([, cell]) => cell(shot))),
  );
}

/** What to make of the flags of a table, where it shows any. */
export const flagLines = (shots: readonly Shot[]): readonly string[] =>
  shots.some((shot) => shot.flags.length > 0)
    ? ['', 'A flag means: read this before you trust the shot. docs/shot.md says what each one means; a shot with none had everything.']
    : [];

/** One shot a line, SI, units in the header. */
export function shotCsv(shots: readonly Shot[]): readonly string[] {
  const columns: readonly (readonly [string, (shot: Shot) => Cell])[] = [
    ['id', (shot) => shot.id],
    ['firedAt', (shot) => shot.firedAt],
    ['rig', (shot) => shot.rigName],
    ['projectile', (shot) => shot.projectile],
    ['reservoirPressurePa', (shot) => shot.reservoirPressurePa?.value],
    ['barrelPressurePa', (shot) => shot.barrelPressurePa?.value],
    ['muzzleVelocityMps', (shot) => shot.muzzleVelocityMps?.value],
    ['muzzleVelocityStandardUncertaintyMps', (shot) => shot.muzzleVelocityMps?.standardUncertainty],
    ['cameraOnly', (shot) => cameraOnly(shot)?.camera],
    ['cameraMuzzleVelocityMps', (shot) => cameraOnly(shot)?.datumVelocityMps.value],
    ['cameraMuzzleVelocityStandardUncertaintyMps', (shot) => cameraOnly(shot)?.datumVelocityMps.standardUncertainty],
    ['targetVelocityMps', (shot) => shot.targetVelocityMps?.value],
    ['targetVelocityStandardUncertaintyMps', (shot) => shot.targetVelocityMps?.standardUncertainty],
    ['mach', (shot) => shot.mach?.value],
    ['machStandardUncertainty', (shot) => shot.mach?.standardUncertainty],
    ['dragCoefficient', (shot) => shot.dragCoefficient?.value],
    ['dragCoefficientStandardUncertainty', (shot) => shot.dragCoefficient?.standardUncertainty],
    ['airTemperatureK', (shot) => shot.air.temperatureK.value],
    ['airPressurePa', (shot) => shot.air.pressurePa.value],
    ['relativeHumidity', (shot) => shot.air.relativeHumidity.value],
    ['speedOfSoundMps', (shot) => shot.air.speedOfSoundMps.value],
    ['flags', (shot) => shot.flags.join(' ')],
    ['acceptance', ({ acceptance }) => acceptance?.verdict],
    ['excluded', ({ exclusion }) => String(exclusion !== undefined)],
    ['excludedBecause', ({ exclusion }) => exclusion?.reason],
    ['excludedBy', ({ exclusion }) => exclusion?.who],
  ];
  return [csvLine(columns.map(([name]) => name)), ...shots.map((shot) => csvLine(columns.map(([, cell]) => cell(shot))))];
}
