import { writeFileSync } from 'node:fs';
import { type Chart, drawChart, svgText } from '../../charts/index.ts';
import { CommandError, messageOf } from '../output.ts';

/** @throws CommandError where the disk refuses */
export function writeDrawing(
  file: string,
  chart: Chart,
  size: { readonly widthPx: number; readonly frameHeightPx: number; readonly id: string },
): void {
  try {
    writeFileSync(file, `${svgText(drawChart(chart, size))}\n`);
  } catch (error) {
    throw new CommandError(`The drawing ${file} cannot be written: ${messageOf(error)}`, 1, { cause: error });
  }
}
