/**
 * Our own programs that run as processes or threads beside a command. From the sources they are TypeScript, which a library
 * teaches Node to read; in the built package they are plain JavaScript, and that library is not there.
 */
import { fileURLToPath } from 'node:url';

/** Whether this runs from the sources, and not from the built package. */
export const IS_FROM_SOURCES = import.meta.url.endsWith('.ts');

export interface Program {
  readonly path: string;
  /** What Node must be told before it, in full: without what this process was told. */
  readonly execArgv: readonly string[];
}

/**
 * @param name  from the module that asks, without its ending, such as `./sending-process`
 * @param moduleUrl  that module's `import.meta.url`
 */
export function programBeside(name: string, moduleUrl: string): Program {
  const ending = IS_FROM_SOURCES ? 'ts' : 'js';
  return {
    path: fileURLToPath(new URL(`${name}.${ending}`, moduleUrl)),
    execArgv: IS_FROM_SOURCES ? ['--import', import.meta.resolve('tsx')] : [],
  };
}

/** Likewise for a thread: from the sources by a module of the same name that has TypeScript read first. */
export const threadBeside = (name: string, moduleUrl: string): URL => new URL(`${name}.${IS_FROM_SOURCES ? 'mjs' : 'js'}`, moduleUrl);

/** How a user calls a command of ours, for sentences that name one. */
export const CALLED_AS = IS_FROM_SOURCES ? 'npm run postern --' : 'postern';
