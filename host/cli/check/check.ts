/** `postern check RIG.yaml`: is the rig file in order, and are its boards there? Opens no port. */
import { existsSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { loadRig, type Rig, type RigLoad, type RigProblem } from '../../rig/index.ts';
import { readRig } from '../rig/read-rig.ts';
import { problemLine, rigLines } from '../rig/rig-lines.ts';
import { listPorts, type PortsFound } from './ports.ts';

const EXIT_OK = 0;
const EXIT_BAD_RIG = 2;

export interface RigCheck {
  readonly exitCode: 0 | 2;
  readonly lines: readonly string[];
}

/** What can be said from the text alone. Exit code 2, and a line for each problem, where the file is not in order. */
export function checkRig(text: string, fileName: string): RigCheck {
  const load: RigLoad = loadRig(text, fileName);
  if (!load.ok) return { exitCode: EXIT_BAD_RIG, lines: load.problems.map((problem) => problemLine(fileName, problem)) };
  return { exitCode: EXIT_OK, lines: rigLines(load.rig) };
}

/**
 * The whole command.
 * @param out  takes one line of text
 * @param ports  how this machine's ports are listed
 * @param asked  file of what a session asks of its shots
 * @returns the exit code: 0 where the file is in order (whether or not its boards are there), else 2
 */
export async function runCheck(
  rigFile: string,
  out: (line: string) => void,
  ports: () => Promise<PortsFound> = listPorts,
  asked?: string,
): Promise<number> {
  const { isInOrder, lines } = await examineRigFile(rigFile, ports, asked);
  for (const line of lines) out(line);
  return isInOrder ? EXIT_OK : EXIT_BAD_RIG;
}

export interface RigFileExamined {
  readonly isInOrder: boolean;
  /** Undefined where it could not be read, of which `lines` tells. */
  readonly text: string | undefined;
  readonly problems: readonly RigProblem[];
  readonly lines: readonly string[];
}

/** A rig file as it lies there now, with what is asked beside it, its boards and this machine's ports. */
export async function examineRigFile(
  rigFile: string,
  ports: () => Promise<PortsFound> = listPorts,
  asked?: string,
): Promise<RigFileExamined> {
  const read = await readRig(rigFile, asked);
  if (!read.ok) return { isInOrder: false, text: undefined, problems: [], lines: [read.message] };
  const { text, load, lineOf } = read;
  if (!load.ok) return { isInOrder: false, text, problems: load.problems, lines: load.problems.map(lineOf) };
  const found = [...boardLines(load.rig, dirname(resolve(rigFile))), ...portLines(await ports())];
  return { isInOrder: true, text, problems: [], lines: [...rigLines(load.rig), ...found] };
}

function boardLines(rig: Rig, folder: string): readonly string[] {
  return rig.boards.map(({ name, path, baudRate, serialNumber }) => {
    if (path === undefined) return `board ${name}: looked for by its serial number ${serialNumber} at ${baudRate} baud`;
    const full = resolve(folder, path);
    const state = existsSync(full) ? 'is there' : 'is missing; plug the board in, or correct its path';
    return `board ${name}: ${full} at ${baudRate} baud ${state}`;
  });
}

function portLines(found: PortsFound): readonly string[] {
  if (!found.ok) return [`ports       cannot be listed on this machine: ${found.why}`];
  if (found.ports.length === 0) return ['ports       none found on this machine'];
  return found.ports.map(({ path, detail }) => `port ${path}${detail === '' ? '' : ` (${detail})`}`);
}
