/** `postern map`: muzzle velocity over fill and barrel pressure, from the stored shots; or the fill for a velocity. */
import type { MapKind, MapReport } from '../../../protocol/index.ts';
import { type MapBook, mapBook } from '../../analysis/next-shot/index.ts';
import { mapChart } from '../../charts/index.ts';
import { CommandError, say, writeJson } from '../output.ts';
import type { ShotsAsked } from '../shots/shot-filters.ts';
import { writeDrawing } from '../text/write-drawing.ts';
import { askedPressurePa, askedValue } from './asked-values.ts';
import { barrelText, fillLines, fillText, mapLines } from './map-lines.ts';
import { mapSources } from './map-sources.ts';

export interface MapOptions extends ShotsAsked {
  readonly json?: string | true;
  readonly svg?: string;
  readonly for?: string;
  readonly barrel?: string;
}

const SVG_SIZE = { widthPx: 760, frameHeightPx: 420, id: 'map' };

export async function map(options: MapOptions): Promise<void> {
  const { shots, sessions } = await mapSources(options);
  const book = mapBook(shots, sessions);
  if (options.for !== undefined) return answerFill(book, options.for, options);
  if (options.svg !== undefined) writeDrawing(options.svg, mapChart(onlyKind(book.report, 'A drawing')), SVG_SIZE);
  if (options.json !== undefined) return writeJson(options.json, book.report);
  const { kinds, without } = book.report;
  if (kinds.length === 0 && without.length === 0) return say(`No shots in ${options.data} yet that match.`);
  for (const line of mapLines(book.report)) say(line);
}

function answerFill(book: MapBook, text: string, options: MapOptions): void {
  const kind = onlyKind(book.report, 'A velocity');
  const velocityMps = askedValue('--for', text, 'speed', '--for "350 m/s"');
  if (!(velocityMps > 0)) throw new CommandError(`--for "${text}": a velocity above zero.`, 2);
  const barrelPressurePa =
    options.barrel === undefined
      ? usualBarrelPa(kind)
      : askedPressurePa('--barrel', options.barrel, kind.ambientPressurePa, '--barrel "5 kPa absolute"');
  if (!(barrelPressurePa > 0)) throw new CommandError(`--barrel "${options.barrel}": a pressure above zero, absolute.`, 2);
  const answer = book.fillFor({ velocityMps, barrelPressurePa, rigName: kind.rigName, projectile: kind.projectile });
  if (options.json !== undefined) writeJson(options.json, { velocityMps, barrelPressurePa, ...answer });
  if (answer.kind === 'refused') {
    const { shotThatHelps: shot } = answer;
    const help = shot
      ? ` What would help: a shot at ${fillText(shot.reservoirPressurePa)} absolute with the barrel at ${barrelText(shot.barrelPressurePa)}.`
      : '';
    throw new CommandError(`No fill for ${text} with the barrel at ${barrelText(barrelPressurePa)}. ${answer.message}${help}`);
  }
  if (options.json !== undefined) return;
  say(
    `Barrel at ${barrelText(barrelPressurePa)}${options.barrel === undefined ? ', as at most of the shots (--barrel says another)' : ''}.`,
  );
  for (const line of fillLines(answer, velocityMps, kind.ambientPressurePa)) say(line);
  say("What the map says is no leave to fill: the rig's limits and the person in charge of firing come first.");
}

/** Of the curve with the most shots about it. */
function usualBarrelPa({ points }: MapKind): number {
  const sorted = points.map(({ barrelPressurePa }) => barrelPressurePa).toSorted((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 1000;
}

export function onlyKind({ kinds }: MapReport, what: string): MapKind {
  const [kind, ...others] = kinds;
  if (!kind) throw new CommandError('There is no shot of which a map can be made; postern shots lists what there is.');
  if (others.length > 0) {
    const names = kinds.map(({ rigName, projectile }) => `${rigName} with "${projectile}"`).join(', ');
    throw new CommandError(
      `${what} is asked of one launcher and one kind of projectile, and there are ${kinds.length} (${names}): choose with --rig, --projectile or --session.`,
      2,
    );
  }
  return kind;
}
