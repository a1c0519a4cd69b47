/** `postern check --starter`: writes the beginning of a rig file, with what is plugged in. */
import { constants, copyFileSync, existsSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type Heard, LISTENING_MS_MAX, whoIsThere } from '../../links/index.ts';
import { RIG_SCHEMA_FILE } from '../../rig/index.ts';
import { CommandError, messageOf } from '../output.ts';
import { CALLED_AS } from '../program-beside.ts';
import type { PortsFound } from './ports.ts';
import { type FoundDevice, starterText } from './starter-text.ts';

const SCHEMA_NAME = 'rig.schema.json';
/** Further ones are not opened. */
const PORTS_MAX = 16;

export interface StarterParts {
  readonly out: (line: string) => void;
  readonly ports: () => Promise<PortsFound>;
  /** Left out: the ports are only listed. */
  readonly listen?: (path: string) => Promise<Heard>;
}

export const LISTENER = whoIsThere;

/** @throws CommandError where the file cannot be made, as where there is one already: that one stays as it is */
export async function writeStarter(rigFile: string, { out, ports, listen }: StarterParts): Promise<void> {
  if (existsSync(rigFile)) throw isThere(rigFile);
  const found = await ports();
  if (!found.ok) out(`Ports cannot be listed on this machine: ${found.why}`);
  const all = found.ok ? found.ports : [];
  if (listen && all.length > 0)
    out(
      `Listening at ${all.length === 1 ? 'one port' : `${Math.min(all.length, PORTS_MAX)} ports`}, for ${Math.ceil(LISTENING_MS_MAX / 1000)} s at most.`,
    );
  const devices = await Promise.all(
    all.slice(0, PORTS_MAX).map(async ({ path, detail, serialNumber }): Promise<FoundDevice> => {
      const heard: Heard = listen ? await listen(path) : { kind: 'nothing', why: 'not listened to' };
      return { path, detail, heard, ...(serialNumber === undefined ? {} : { serialNumber }) };
    }),
  );
  for (const { path, heard } of devices) out(`port ${path}: ${heardText(heard)}`);
  try {
    writeFileSync(rigFile, starterText(devices, SCHEMA_NAME), { flag: 'wx' });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw isThere(rigFile);
    throw new CommandError(`${rigFile} cannot be written: ${messageOf(error)}`, 1, { cause: error });
  }
  keepSchema(join(dirname(rigFile), SCHEMA_NAME));
  out(`${rigFile} is begun. Fill in what says FILL IN; ${CALLED_AS} check ${rigFile} names each place that is left.`);
}

const isThere = (rigFile: string): CommandError =>
  new CommandError(`${rigFile} is there already and stays as it is; give another name, or check it: ${CALLED_AS} check ${rigFile}`, 2);

/** For editors only: a folder that has one keeps it. */
function keepSchema(file: string): void {
  try {
    copyFileSync(RIG_SCHEMA_FILE, file, constants.COPYFILE_EXCL);
  } catch {
    // One is there.
  }
}

function heardText(heard: Heard): string {
  switch (heard.kind) {
    case 'gate-board':
      return `a gate board${heard.boardId === undefined ? '' : `, ${heard.boardId}`}, at ${heard.baudRate} baud`;
    case 'firmata':
      return `a Firmata board, ${heard.firmware}, at ${heard.baudRate} baud`;
    case 'text':
      return `an instrument that prints lines, at ${heard.baudRate} baud: ${heard.line}`;
    case 'nothing':
      return heard.why;
  }
}
