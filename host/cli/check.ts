/** `postern check RIG.yaml`: is the rig file in order, and are its boards there? Opens no port. */
import { existsSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { loadRig, RIG_FILE_BYTES_MAX, type Rig, type RigLoad, type RigProblem } from '../rig/index.ts';
import { listPorts, type PortsFound } from './ports.ts';
import { problemLine, rigLines } from './rig-lines.ts';

const EXIT_OK = 0;
const EXIT_BAD_RIG = 2;

export interface RigCheck {
  readonly exitCode: 0 | 2;
  readonly lines: readonly string[];
}

/** What can be said from the text alone. Exit code 2, and a line for each problem, where the file is not in order. */
export function checkRig(text: string, fileName: string): RigCheck {
  return checkLoaded(loadRig(text, fileName), fileName);
}

function checkLoaded(load: RigLoad, fileName: string): RigCheck {
  if (!load.ok) return { exitCode: EXIT_BAD_RIG, lines: load.problems.map((problem) => problemLine(fileName, problem)) };
  return { exitCode: EXIT_OK, lines: rigLines(load.rig) };
}

/**
 * The whole command.
 * @param out  takes one line of text
 * @param ports  how this machine's ports are listed
 * @returns the exit code: 0 where the file is in order (whether or not its boards are there), else 2
 */
export async function runCheck(
  rigFile: string,
  out: (line: string) => void,
  ports: () => Promise<PortsFound> = listPorts,
): Promise<number> {
  const { isInOrder, lines } = await examineRigFile(rigFile, ports);
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

/** A rig file as it lies there now, its boards and this machine's ports. */
export async function examineRigFile(rigFile: string, ports: () => Promise<PortsFound> = listPorts): Promise<RigFileExamined> {
  const read = await readRigText(rigFile);
  if (!read.ok) return { isInOrder: false, text: undefined, problems: [], lines: [read.message] };
  const { text } = read;
  const load = loadRig(text, rigFile);
  const { lines } = checkLoaded(load, rigFile);
  if (!load.ok) return { isInOrder: false, text, problems: load.problems, lines };
  const found = [...boardLines(load.rig, dirname(resolve(rigFile))), ...portLines(await ports())];
  return { isInOrder: true, text, problems: [], lines: [...lines, ...found] };
}

export type RigText = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly message: string };

/** The file's text, of which no more is read than a rig file may have. A file that cannot be read gives one sentence. */
export async function readRigText(rigFile: string): Promise<RigText> {
  try {
    const file = await open(rigFile, 'r');
    try {
      const bytes = new Uint8Array(RIG_FILE_BYTES_MAX + 1);
      const text = decode(bytes.subarray(0, await fill(file, bytes)));
      return text === undefined ? { ok: false, message: `${rigFile} is not UTF-8 text; is it a rig file?` } : { ok: true, text };
    } finally {
      await file.close();
    }
  } catch (error) {
    return { ok: false, message: `${rigFile} cannot be read: ${reason(error)}` };
  }
}

/** A read may be short. @returns bytes read */
async function fill(file: Awaited<ReturnType<typeof open>>, bytes: Uint8Array): Promise<number> {
  let filled = 0;
  while (filled < bytes.length) {
    const { bytesRead } = await file.read(bytes, filled, bytes.length - filled, null);
    if (bytesRead === 0) break;
    filled += bytesRead;
  }
  return filled;
}

function decode(bytes: Uint8Array): string | undefined {
  // What is cut off at the bound may end within a character, and is refused for its size anyway.
  const stream = bytes.length > RIG_FILE_BYTES_MAX;
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream });
  } catch {
    return undefined;
  }
}

function reason(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOENT') return 'there is no such file; check its name';
  if (code === 'EISDIR') return 'it is a folder; name the rig file in it';
  if (code === 'EACCES') return 'this user may not read it; change its permissions';
  return error instanceof Error ? error.message : String(error);
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
