/** `postern drag`: the drag coefficient over Mach, from the stored shots. */
import type { DragReport, DragShot } from '../../../protocol/index.ts';
import { dragCurves } from '../../analysis/drag/index.ts';
import { dragChart } from '../../charts/index.ts';
import { openDataFolder } from '../data/data-folder.ts';
import { shotsOfRunningHost } from '../data/running-host.ts';
import { fromStore } from '../data/stored.ts';
import { CommandError, say, writeJson } from '../output.ts';
import { chosenBy, ofProjectile, type ShotsAsked, shotQuery } from '../shots/shot-filters.ts';
import { writeDrawing } from '../text/write-drawing.ts';
import { dragLines } from './drag-lines.ts';

export interface DragOptions extends ShotsAsked {
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
  return ofProjectile(shots, options);
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
  writeDrawing(file, dragChart(kind), SVG_SIZE);
}
