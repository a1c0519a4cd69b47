/** `postern report`: one session as one HTML file. */
import { writeFileSync } from 'node:fs';
import type { DisplaySystem } from '../../units/index.ts';
import { openDataFolder } from '../data/data-folder.ts';
import { CommandError, messageOf, say } from '../output.ts';
import { SOFTWARE_VERSION } from '../version.ts';
import { gatherReport } from './gather.ts';
import { reportPage } from './report-page.ts';

export interface ReportCommandOptions {
  readonly data: string;
  readonly out?: string;
  readonly units: DisplaySystem;
}

export async function report(session: string | undefined, { data, out, units }: ReportCommandOptions): Promise<void> {
  const facts = await gatherReport(openDataFolder(data), session);
  const file = out ?? `report-${facts.sessionId}.html`;
  const page = reportPage(facts, { units, madeAt: new Date().toISOString(), softwareVersion: SOFTWARE_VERSION });
  try {
    writeFileSync(file, page);
  } catch (error) {
    throw new CommandError(`The report ${file} cannot be written: ${messageOf(error)}`, 1, { cause: error });
  }
  say(
    `The report of session ${facts.sessionId}, ${facts.shots.length} shots, is ${file}: open it in a browser; it prints on A4 and Letter.`,
  );
}
