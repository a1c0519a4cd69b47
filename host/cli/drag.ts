/** `postern drag`: the drag coefficient over Mach, from the stored shots. */
import { writeFileSync } from 'node:fs';
import type { DragReport, DragShot } from '../../protocol/index.ts';
import { dragCurves } from '../analysis/drag/index.ts';
import { dragChart, drawChart, svgText } from '../charts/index.ts';
import { openDataFolder } from './data-folder.ts';
import { dragLines } from './drag-lines.ts';
import { CommandError, messageOf, say, writeJson } from './output.ts';
import { shotsOfRunningHost } from './running-host.ts';
import { chosenBy, shotQuery } from './shot-filters.ts';
import { fromStore } from './stored.ts';

export interface DragOptions {
  readonly data: string;
  readonly session?: string;
  readonly rig?: string;
  readonly since?: string;
  readonly projectile?: string;
  readonly limit: number;
  readonly json?: string | true;
  readonly svg?: string;
}

const SVG_SIZE = { widthPx: 760, frameHeightPx: 400, id: 'drag' };

export async function drag(options: DragOptions): Promise<void> {
  const report = dragCurves(await chosenShots(options));
  if (options.svg !== undefined) writeSvg(options.svg, report);
  if (options.json !== undefined) return writeJson(options.json, report);
  if (report.kinds.length === 0 && report.without.length === 0) return say(`No shots in ${options.data} yet that match.`);
  for (const line of dragLines(report)) say(line);
}

async function chosenShots(options: DragOptions): Promise<readonly DragShot[]> {
  const { projectile } = options;
  const query = shotQuery(options);
  const folder = openDataFolder(options.data);
  const shots = await fromStore<readonly DragShot[]>(
    folder,
    (store) => store.dragShots(query),
    async () => {
      const listed = await shotsOfRunningHost(folder);
      return listed && chosenBy(query, listed);
    },
    [],
  );
  return projectile === undefined ? shots : shots.filter((shot) => shot.projectile === projectile);
}

function writeSvg(file: string, { kinds }: DragReport): void {
  const [kind, ...others] = kinds;
  if (!kind) throw new CommandError('There is no shot with a drag to draw; postern shots lists what there is.');
  if (others.length > 0) {
    const names = kinds.map(({ projectile }) => `"${projectile}"`).join(', ');
    throw new CommandError(
      `A drawing holds one kind of projectile, and there are ${kinds.length} (${names}): choose one with --projectile.`,
      2,
    );
  }
  try {
    writeFileSync(file, `${svgText(drawChart(dragChart(kind), SVG_SIZE))}\n`);
  } catch (error) {
    throw new CommandError(`The drawing ${file} cannot be written: ${messageOf(error)}`, 1, { cause: error });
  }
}
